import { figureReport } from '../core/joints/figureReport.ts';
import { jointReport } from '../core/joints/jointReport.ts';
import { buildReport } from '../core/kit/buildReport.ts';
import type { Part } from '../core/kit/manifest.ts';
import type { CheckReport, PartReport } from '../core/kit/report.ts';
import { platedParts } from '../core/kit/rules/plateParts.ts';
import { lightReport } from '../core/lights/lightReport.ts';
import { plateReport } from '../core/plates/plateReport.ts';
import type { CheckParams } from '../protocol/engineApi.ts';
import type { EngineContext } from './engineContext.ts';
import { type Measured, type MeasuredKit, measureKit } from './measureKit.ts';
import { toSource } from './toSource.ts';

/** `check`: measures and judges a kit; each part's report and findings go out as soon as they are there. */
export async function check(params: CheckParams, context: EngineContext): Promise<CheckReport> {
  const reportOf = (part: Part, measured: Measured): PartReport =>
    buildReport(measured.facts, part, toSource(measured));
  const kit = await measureKit<Measured>(
    params,
    params.parts,
    params.noCache,
    context,
    'measure',
    (part, measured, findings) =>
      context.call.progress({
        kind: 'part',
        part: part.name,
        report: measured === null ? null : reportOf(part, measured),
        findings: findings(),
      }),
  );
  const parts = kit.manifest?.parts.flatMap((part) => {
    const measured = kit.measured.get(part.name);
    return measured === undefined ? [] : [[part.name, reportOf(part, measured)] as const];
  });
  return {
    kit: kit.manifest?.kit ?? '',
    ok: !kit.findings.some(({ severity }) => severity === 'error'),
    parts: Object.fromEntries(parts ?? []),
    plates: Object.fromEntries(
      kit.manifest?.plates.map((plate) => {
        const facts = kit.plates.get(plate.name);
        const parts = platedParts(kit.manifest!, plate);
        const { layer } = kit.manifest!.machine;
        return [plate.name, facts === undefined ? null : plateReport(plate, parts, facts, layer)];
      }) ?? [],
    ),
    joints: kit.joints.map((facts) => jointReport(facts, kit.manifest!.scale.factor!)),
    assembled: kit.assembled && figureReport(kit.assembled, kit.manifest!.scale.factor!),
    lights: lightsOf(kit),
    findings: kit.findings,
    assumptions: kit.manifest?.assumptions ?? [],
  };
}

function lightsOf({ manifest, measured }: MeasuredKit<Measured>): CheckReport['lights'] {
  if (manifest === null) return {};
  const facts = new Map([...measured].map(([name, part]) => [name, part.facts]));
  const back = new Map([...measured].map(([name, part]) => [name, toSource(part)]));
  return Object.fromEntries(
    manifest.lights.map((light) => [
      light.name,
      lightReport(light, manifest, facts, (part, at) => back.get(part)!(at)),
    ]),
  );
}
