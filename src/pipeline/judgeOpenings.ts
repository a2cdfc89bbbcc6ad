import type { Manifest, Part } from '../core/kit/manifest.ts';
import { partRules } from '../core/kit/rules/measuredRules.ts';
import { type Judge, openingFaultsOf } from '../core/propose/judgement.ts';
import { success } from '../core/result.ts';
import type { PartStages } from './partStages.ts';

/** Judges sets of openings of a part by the stages and the rules of the check; `thoroughly` as of `tried`. */
export function judgeOpenings(
  stages: PartStages,
  { manifest, part }: { readonly manifest: Manifest; readonly part: Part },
  thoroughly: boolean,
): Judge {
  return async (openings) => {
    const measured = await stages.tried(openings, {}, thoroughly);
    if (!measured.ok) return measured;
    const facts = { name: part.name, ...measured.value };
    return success({
      facts,
      faults: openingFaultsOf(partRules({ manifest, part: { ...part, openings }, facts })),
    });
  };
}
