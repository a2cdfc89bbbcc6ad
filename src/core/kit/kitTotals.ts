/** What one copy of a part takes. */
export interface PartFigures {
  readonly sizeMm: readonly [number, number, number];
  /** Liquid resin, supports included. */
  readonly liquidMl: number;
  readonly massG: number;
  readonly hours: number;
  /** In the builder's own currency; null where its resin has no price. */
  readonly cost: number | null;
}

export interface KitTotals {
  readonly parts: number;
  /** Prints of those parts that were measured. */
  readonly prints: number;
  readonly measured: number;
  readonly liquidMl: number;
  readonly massG: number;
  /** Of the prints one after the other. */
  readonly hours: number;
  /** Of the measured parts whose resin has a price; null where none has. */
  readonly cost: number | null;
  /** Some measured parts are not in the cost. */
  readonly costIsPart: boolean;
}

/** What the liquid costs; `price` per litre. Null where there is none. */
export const costOf = (liquidMl: number, price: number | null): number | null =>
  price === null ? null : (liquidMl / 1000) * price;

/** Every copy of every measured part, summed up. */
export function kitTotals(
  parts: readonly { readonly copies: number; readonly figures: PartFigures | null }[],
): KitTotals {
  const measured = parts.flatMap(({ copies, figures }) => (figures === null ? [] : [{ copies, ...figures }]));
  const priced = measured.filter(({ cost }) => cost !== null);
  const sum = (of: (part: (typeof measured)[number]) => number): number =>
    measured.reduce((all, part) => all + part.copies * of(part), 0);
  return {
    parts: parts.length,
    prints: sum(() => 1),
    measured: measured.length,
    liquidMl: sum(({ liquidMl }) => liquidMl),
    massG: sum(({ massG }) => massG),
    hours: sum(({ hours }) => hours),
    cost: priced.length === 0 ? null : sum(({ cost }) => cost ?? 0),
    costIsPart: priced.length < measured.length,
  };
}
