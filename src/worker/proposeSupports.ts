import { applyEdits } from '../core/kit/edits.ts';
import type { Finding } from '../core/kit/finding.ts';
import { readTree } from '../core/kit/readTree.ts';
import { scalarAt } from '../core/kit/treeAt.ts';
import { nextSupportStep, type SupportStep } from '../core/supports/nextSupportStep.ts';
import { supportStepEdits } from '../core/supports/supportStepEdits.ts';
import { holdCodes, type SupportsReport, supportsReport } from '../core/supports/supportsReport.ts';
import type { KitSupports, ProposeParams } from '../protocol/engineApi.ts';
import type { EngineContext } from './engineContext.ts';
import { kitManifest } from './kitManifest.ts';
import { measureKit, wantedParts } from './measureKit.ts';
import { rewriteManifest } from './rewriteManifest.ts';

/** Steps for one part at most: supports, room for them, and tips a few times wider. */
const MOST_STEPS = 8;

/**
 * `proposeSupports`: how parts of a kit are to be held, judged by the check itself with one decision after the other
 * taken otherwise, and the manifest as it would then stand, written where that is asked for.
 */
export async function proposeSupports(params: ProposeParams, context: EngineContext): Promise<KitSupports> {
  const { text: before, manifest } = await kitManifest(params);
  const parts: Record<string, SupportsReport> = {};
  const failed: { part: string; message: string }[] = [];
  let text = before;
  for (const { name } of wantedParts(manifest, params.parts)) {
    const held = await heldPart(text, name, isLeft(text, name, params) ? 0 : MOST_STEPS, params, context);
    if ('failure' in held) {
      failed.push({ part: name, message: held.failure });
      continue;
    }
    parts[name] = held.report;
    text = held.text;
  }
  if (params.write && text !== before) await rewriteManifest(params, before, text);
  return { kit: manifest.kit, ok: failed.length === 0, parts, failed, manifestText: text };
}

/** What the builder wants without supports gets them only where he names it. */
const isLeft = (text: string, part: string, { parts }: ProposeParams): boolean =>
  parts === null && scalarAt(readTree(text).root, ['parts', part, 'supports']) === 'none';

type Held = { readonly report: SupportsReport; readonly text: string } | { readonly failure: string };

async function heldPart(
  before: string,
  name: string,
  mostSteps: number,
  { kitDir, noCache }: ProposeParams,
  context: EngineContext,
): Promise<Held> {
  const steps: SupportStep[] = [];
  let text = before;
  for (;;) {
    const source = { kitDir, manifestText: text };
    const kit = await measureKit(source, [name], noCache, context, 'measure', () => {});
    const part = kit.manifest?.parts.find((one) => one.name === name);
    const measured = kit.measured.get(name);
    const own = kit.findings.filter((finding) => finding.part === name);
    if (part === undefined || measured === undefined) return { failure: whyNot(own) };
    const faults = own.filter(({ code }) => holdCodes.has(code));
    const step = steps.length < mostSteps ? nextSupportStep(part, faults) : null;
    if (step === null) return { report: supportsReport(steps, measured.facts.supports, faults), text };
    const edits = supportStepEdits(text, name, step);
    if (edits === null) return { failure: cannotEdit };
    steps.push(step);
    text = applyEdits(text, edits);
  }
}

function whyNot(findings: readonly Finding[]): string {
  const error = findings.find(({ severity }) => severity === 'error');
  return error === undefined ? 'it cannot be measured.' : `${error.code}: ${error.message}`;
}

const cannotEdit =
  'its decisions stand in the manifest in a way that cannot be edited by itself; write `supports: planned` by hand.';
