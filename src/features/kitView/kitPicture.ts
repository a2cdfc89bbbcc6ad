import { costOf, kitTotals, type PartFigures } from '../../core/kit/kitTotals.ts';
import type { Part, Resin } from '../../core/kit/manifest.ts';
import type { PartState } from '../../core/kit/partState.ts';
import type { PartReport } from '../../core/kit/report.ts';
import type { KitPart, KitPicture } from '../../protocol/kitMessages.ts';

/** What is known of a part beside the manifest. */
export interface KnownPart {
  readonly state: PartState;
  readonly report: PartReport | null;
  /** As the engine told; undefined while it has not. */
  readonly shape: { readonly key: string } | { readonly problem: string } | undefined;
}

/** The whole kit as its page shows it. */
export function kitPicture(
  name: string,
  parts: readonly Part[],
  resins: ReadonlyMap<string, Resin>,
  known: (part: string) => KnownPart,
): KitPicture {
  const shown = parts.map((part): KitPart => {
    const { state, report, shape } = known(part.name);
    const price = (part.resin === null ? undefined : resins.get(part.resin))?.price ?? null;
    return {
      name: part.name,
      key: shape !== undefined && 'key' in shape ? shape.key : null,
      problem: shape !== undefined && 'problem' in shape ? shape.problem : null,
      state: state.kind,
      words: state.words,
      resin: part.resin,
      copies: part.count + part.mirrored,
      figures: report === null ? null : figuresOf(report, price),
    };
  });
  return { name, parts: shown, totals: kitTotals(shown) };
}

function figuresOf({ mesh, print }: PartReport, price: number | null): PartFigures {
  const [x, y, z] = mesh.size_mm;
  return {
    sizeMm: [x, y, z],
    liquidMl: print.liquid_ml,
    massG: print.mass_g,
    hours: print.hours,
    cost: costOf(print.liquid_ml, price),
  };
}
