import type { PosedDrain } from '../core/drainage/chamberDrain.ts';
import type { Finding } from '../core/kit/finding.ts';
import type { Manifest } from '../core/kit/manifest.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { lightBores } from '../core/lights/lightBores.ts';
import { movedOutline } from '../core/showSide/showOutline.ts';
import { barsOfPlan } from '../core/supports/supportBodies.ts';
import { add, scale } from '../core/vector.ts';
import { tipView } from '../pipeline/tipView.ts';
import type { MeasuredView, Picture } from '../pipeline/viewPart.ts';
import type { ViewParams, ViewProgress } from '../protocol/engineApi.ts';
import type { Flag, PartView, Strata } from '../protocol/partView.ts';
import type { CallContext } from '../protocol/rpc.ts';
import { cutIntoPieces, type SurfaceSet } from '../protocol/surfacePiece.ts';
import type { EngineContext } from './engineContext.ts';
import { measureSource } from './measureSource.ts';
import type { WorkerPool } from './workerPool.ts';

/** `view`: what the turntable and the strata show of one part. Surfaces come as they are made, the refined ones after the facts. */
export async function partView(
  { source, noCache, held }: ViewParams,
  { pool, refiner, call }: EngineContext & { readonly call: CallContext<ViewProgress> },
): Promise<null> {
  const sendSurface = (set: SurfaceSet): void => {
    for (const piece of cutIntoPieces(set)) call.progress({ kind: 'surface', piece });
  };
  const show = (picture: Picture): void => {
    if ('surface' in picture) sendSurface(picture.surface);
    else call.progress({ kind: 'scene', scene: picture.scene });
  };
  const context = { pool: viewing(pool, held, show), refiner, call };
  const { name, manifest, measured, findings } = await measureSource<MeasuredView>(
    source,
    noCache,
    context,
    'view',
  );
  call.progress({ kind: 'view', view: viewOf(name, manifest, measured, findings) });
  const kitDir = source.of === 'kit' ? source.kitDir : null;
  for (const surface of measured.unrefined) sendSurface(await refiner.refine(surface, kitDir, call.signal));
  return null;
}

/** The pool, with what a view needs beside the request that it shares with a check. */
function viewing(
  pool: WorkerPool,
  held: readonly string[],
  onPicture: (picture: Picture) => void,
): WorkerPool {
  return {
    ...pool,
    run: (method, request, options) => pool.run(method, { ...request, held }, { ...options, onPicture }),
  };
}

function viewOf(
  part: string,
  manifest: Manifest,
  { facts, frame, toPrint, outer, cavity, openings }: MeasuredView,
  findings: readonly Finding[],
): PartView {
  const { plate, height, margin } = manifest.machine;
  return {
    part,
    machine: { plate, height, margin },
    toPrint,
    outer,
    cavity,
    openings,
    flags: findings.filter((finding) => finding.part === part).map(flagOf),
    show: (manifest.parts.find(({ name }) => name === part)?.show ?? []).map((outline) =>
      movedOutline(outline, frame),
    ),
    supports: supportsOf(facts, manifest),
    lights: lightsOf(facts),
    tips: facts.supports?.supports.map(tipView) ?? [],
    strata: strataOf(facts, manifest),
    figures: figuresOf(facts),
  };
}

function supportsOf({ name, supports }: PartFacts, { parts }: Manifest): Float32Array {
  const decision = parts.find((part) => part.name === name)?.supports ?? null;
  if (supports === null || decision === null) return new Float32Array(0);
  return Float32Array.from(
    barsOfPlan(supports, decision).flatMap(({ from, to, fromRadius, toRadius }) => [
      ...from,
      ...to,
      fromRadius,
      toRadius,
    ]),
  );
}

function lightsOf({ lights }: PartFacts): Float32Array {
  return Float32Array.from(
    lightBores(lights).flatMap(({ mouth, axis, radius, depth, outward }) => [
      ...add(mouth, scale(axis, -outward)),
      ...add(mouth, scale(axis, depth)),
      radius,
      radius,
    ]),
  );
}

function flagOf({ number, code, severity, message, layer, at, opening }: Finding): Flag {
  return { number, code, severity, message, layer, at, opening };
}

function strataOf({ layers, loads }: PartFacts, { limits }: Manifest): Strata {
  return {
    layerHeight: layers.layerHeight,
    layers: layers.layers,
    areaMm2: Float32Array.from(loads.areaMm2),
    cupAreaMm2: Float32Array.from(loads.cupAreaMm2),
    pullN: Float32Array.from(loads.pullN),
    pullLimitN: limits.pull,
    islands: layers.islands.map(({ layer, areaMm2, inside }) => ({ layer, areaMm2, inside })),
    cups: loads.cups.map(
      ({ fromLayer, toLayer, joinsLayer, breathesLayer, sealedLayers, peakPullN, breather }) => ({
        fromLayer,
        toLayer,
        joinsLayer,
        breathesLayer,
        sealedLayers,
        peakPullN,
        breather,
      }),
    ),
    vatLowLayer: loads.vatLowLayer,
  };
}

function figuresOf({
  mesh,
  hollow,
  layers,
  loads,
  balance,
  drains,
  lights,
  supports,
}: PartFacts): PartView['figures'] {
  const size = mesh.sizeMm.map((value) => value.toFixed(1)).join(' × ');
  const chambers = hollow.chambers.length;
  return [
    { label: 'Size', value: `${size} mm` },
    {
      label: 'Wall',
      value:
        hollow.wallMm === null
          ? 'solid'
          : `${hollow.wallMm} mm, ${chambers} chamber${chambers === 1 ? '' : 's'}`,
    },
    {
      label: 'Resin',
      value: `${(loads.liquidMm3 / 1000).toFixed(0)} ml liquid, ${loads.massG.toFixed(0)} g cured`,
    },
    { label: 'Time', value: `${loads.hours.toFixed(1)} h, ${layers.layers} layers` },
    ...(balance.fills || balance.coats
      ? [{ label: 'Filled', value: `${balance.total.massG.toFixed(0)} g in all` }]
      : []),
    ...drainFigures(drains),
    ...supportFigures(supports),
    ...lights.map(lightFigure),
    { label: 'Peak pull', value: `${loads.peakPullN.toFixed(0)} N at layer ${loads.peakPullLayer}` },
  ];
}

function lightFigure({ name, passes, thinnest }: PartFacts['lights'][number]): PartView['figures'][number] {
  const inside = passes.reduce((sum, { fromMm, toMm }) => sum + toMm - fromMm, 0);
  const wall = thinnest === null ? '' : `, ${thinnest.wallMm.toFixed(1)} mm to the outside`;
  return { label: 'Light', value: `${name}, ${inside.toFixed(0)} mm in this part${wall}` };
}

function supportFigures(supports: PartFacts['supports']): PartView['figures'] {
  if (supports === null) return [];
  const { supports: all, worst } = supports;
  const holds = worst === null ? '' : `, the weakest takes ${worst.reserve.toFixed(2)} times its load`;
  return [{ label: 'Supports', value: `${all.length}${holds}` }];
}

/** The wash: what stays, and the longest that a chamber takes. */
function drainFigures(drains: PartFacts['drains']): PartView['figures'] {
  const measured = drains.flatMap((drain) => drain ?? []);
  if (measured.length === 0) return [];
  const left = measured.reduce((sum, { leftMm3 }) => sum + leftMm3, 0) / 1000;
  return [{ label: 'Wash', value: `${drainTime(measured)}, ${left.toFixed(1)} ml stay` }];
}

function drainTime(drains: readonly PosedDrain[]): string {
  if (drains.some(({ air }) => air === 'none')) return 'no air comes in dependably';
  const times = drains.map(({ seconds }) => seconds ?? Infinity);
  const slowest = Math.max(...times);
  return slowest === Infinity ? 'air and liquid share one hole' : `empty in ${Math.ceil(slowest)} s`;
}
