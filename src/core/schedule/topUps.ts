/** What the vat holds when it is full, and when it stands at its least safe level, mm³. */
export interface VatRoom {
  readonly fullMm3: number;
  readonly leastMm3: number;
}

/** The layers before which a pour may be done: there is room for it from the one, and the other must not start without it. */
export interface PourWindow {
  readonly fromLayer: number;
  readonly byLayer: number;
}

export interface TopUps {
  /** Each of them. */
  readonly pourMm3: number;
  readonly windows: readonly PourWindow[];
}

/** More than anyone pours into one print: the vat is told wrong, or far too small. */
export const mostTopUps = 100;

/** How many pours beyond the fewest are tried: the smaller they are, the longer each may wait. */
const moreTried = 3;

/**
 * Ways to keep the vat between its least safe level and full, the fewest pours first, all of a way equal; empty where
 * none is needed, null where it takes more than `mostTopUps` or the vat has nothing to give.
 *
 * `takenMm3`: what is out of the vat when each layer is done. A pour of p can be done once p is missing, and stays
 * within the rim if no more flows back later; the n-th must be in before what was filled and the n − 1 before it are
 * used down to the least level.
 */
export function waysToTopUp(
  takenMm3: Float64Array,
  filledMm3: number,
  { fullMm3, leastMm3 }: VatRoom,
): readonly TopUps[] | null {
  const spare = filledMm3 - leastMm3;
  const missing = takenMm3.reduce((most, taken) => Math.max(most, taken), 0) - spare;
  if (missing <= slackMm3) return [];
  const fewest = Math.ceil(missing / (fullMm3 - leastMm3) - 1e-9);
  if (!(fullMm3 > leastMm3) || fewest > mostTopUps) return null;
  const keptMm3 = leastFromHereOn(takenMm3);
  return Array.from({ length: moreTried + 1 }, (_, more) => {
    const pourMm3 = missing / (fewest + more);
    const windows = Array.from({ length: fewest + more }, (_, n): PourWindow => {
      const usedUp = takenMm3.findIndex((taken) => taken > spare + n * pourMm3 + slackMm3);
      const room = keptMm3.findIndex(
        (taken) => taken >= (n + 1) * pourMm3 - (fullMm3 - filledMm3) - slackMm3,
      );
      const byLayer = usedUp < 0 ? takenMm3.length - 1 : usedUp;
      // What a layer has taken is missing before the next.
      return { fromLayer: room < 0 ? byLayer : Math.min(room + 1, byLayer), byLayer };
    });
    return { pourMm3, windows };
  });
}

/** Sums of thousands of layers differ by less. */
const slackMm3 = 1e-3;

function leastFromHereOn(takenMm3: Float64Array): Float64Array {
  const least = takenMm3.slice();
  for (let layer = least.length - 2; layer >= 0; layer--)
    least[layer] = Math.min(least[layer]!, least[layer + 1]!);
  return least;
}

export interface TimedPour extends PourWindow {
  /** Before which it is best done. */
  readonly layer: number;
  readonly attended: boolean;
}

/**
 * The first layer of each window before which somebody is there, or the last: of pours that bring another resin, which
 * comes in as late as can be. The first, or last, of all where nobody ever is.
 */
export function timePours(
  windows: readonly PourWindow[],
  attendedBefore: (layer: number) => boolean,
  isLate: (pour: number) => boolean = () => false,
): readonly TimedPour[] {
  return windows.map((window, pour) => {
    const { fromLayer, byLayer } = window;
    const late = isLate(pour);
    for (let n = 0; n <= byLayer - fromLayer; n++) {
      const layer = late ? byLayer - n : fromLayer + n;
      if (attendedBefore(layer)) return { ...window, layer, attended: true };
    }
    return { ...window, layer: late ? byLayer : fromLayer, attended: false };
  });
}
