import type { Vec3 } from '../vector.ts';

/** Holes for the pins of a kit. Sizes in print mm, places and ways in source coordinates. */
export interface PinsProposal {
  readonly pins: readonly {
    readonly joint: string;
    readonly parts: readonly [string, string];
    readonly rod_mm: number;
    readonly bore_mm: number;
    readonly depth_mm: number;
    readonly holes: readonly {
      readonly part: string;
      readonly at_source: Vec3;
      readonly toward_source: Vec3;
    }[];
  }[];
  /** Pins without holes, and why. */
  readonly left: readonly { readonly joint: string; readonly message: string }[];
  /** Parts that are in no load on a pin, since they could not be weighed. */
  readonly not_weighed: readonly string[];
}

/** A line each, for people. */
export function pinsProposalLines({ pins, left, not_weighed }: PinsProposal): string[] {
  const rows = pins.flatMap(({ joint, rod_mm, bore_mm, depth_mm, holes }) => [
    `  ${joint}: a rod of ${rod_mm} mm in holes of ${bore_mm} mm, each ${depth_mm} mm deep`,
    ...holes.map(
      ({ part, at_source, toward_source }) =>
        `    ${part}: at [${at_source.join(', ')}], toward [${toward_source.join(', ')}]`,
    ),
  ]);
  const none = pins.length + left.length === 0 ? ['  No joint of kit.yaml has a pin.'] : [];
  return [
    ...rows,
    ...left.map(({ joint, message }) => `  ${joint}: none, ${message}`),
    ...none,
    ...(pins.length > 0 && not_weighed.length > 0
      ? [`  Not weighed: ${not_weighed.join(', ')}; more may hang on the pins.`]
      : []),
  ];
}
