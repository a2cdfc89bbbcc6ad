import { asDrawn } from '../trueSize/trueSize.ts';
import { keyEntry } from './keyTable.ts';
import type { Assumption, Manifest, Part, Resin } from './manifest.ts';

const assumedName = 'assumed resin';
const fallback = (key: string): number => keyEntry(`resins.*.${key}`).fallback as number;

/** The resin reckoned with where the manifest names none that it describes. */
export const assumedResin: Resin = {
  name: assumedName,
  density: fallback('density'),
  liquidDensity: fallback('liquid-density'),
  viscosity: fallback('viscosity'),
  surfaceTension: fallback('surface-tension'),
  greenStrength: fallback('green-strength'),
  greenModulus: fallback('green-modulus'),
  onHand: null,
  bottles: [],
  price: null,
  trueSize: asDrawn,
  waste: fallback('waste'),
};

/** The resin a part is printed in. */
export function partResin(manifest: Manifest, part: Part): Resin {
  return (part.resin === null ? undefined : manifest.resins.get(part.resin)) ?? assumedResin;
}

/** What `assumedResin` assumes, for the report. */
export function assumedResinAssumptions(): Assumption[] {
  return ['density', 'liquid-density', 'viscosity', 'surface-tension', 'green-strength', 'green-modulus'].map(
    (key) => {
      const entry = keyEntry(`resins.*.${key}`);
      return { key: `${assumedName}: ${key}`, value: fallback(key), unit: entry.unit!, basis: entry.basis! };
    },
  );
}
