import type { Finding } from '../core/kit/finding.ts';
import type { Manifest } from '../core/kit/manifest.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import type { ViewParams } from '../protocol/engineApi.ts';
import type { Flag, PartView, Strata } from '../protocol/partView.ts';
import type { EngineContext } from './engineContext.ts';
import { measureSource } from './measureSource.ts';
import type { MeasuredView } from './threadApi.ts';

/** `view`: what the turntable and the strata show of one part. */
export async function partView({ source, noCache }: ViewParams, context: EngineContext): Promise<PartView> {
  const { name, manifest, measured, findings } = await measureSource<MeasuredView>(
    source,
    noCache,
    context,
    'view',
  );
  const { plate, height, margin } = manifest.machine;
  return {
    part: name,
    machine: { plate, height, margin },
    ...measured.geometry,
    flags: findings.filter(({ part }) => part === name).map(flagOf),
    strata: strataOf(measured.facts, manifest),
    figures: figuresOf(measured.facts),
  };
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

function figuresOf({ mesh, hollow, layers, loads }: PartFacts): PartView['figures'] {
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
    { label: 'Peak pull', value: `${loads.peakPullN.toFixed(0)} N at layer ${loads.peakPullLayer}` },
  ];
}
