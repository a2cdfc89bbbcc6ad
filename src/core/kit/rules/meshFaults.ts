import type { FindingDraft } from '../finding.ts';
import type { ManifestPath, Part } from '../manifest.ts';
import { figure } from './figures.ts';
import type { PartContext } from './ruleContext.ts';

const atFile = (part: Part): { readonly part: string; readonly path: ManifestPath } => ({
  part: part.name,
  path: ['parts', part.name, 'file'],
});

export function notWatertight({ part, facts }: PartContext): FindingDraft[] {
  if (facts.mesh.sound) return [];
  const { openEdges, nonmanifoldEdges, misorientedEdges } = facts.mesh.topology;
  const faulty = openEdges + nonmanifoldEdges + misorientedEdges;
  return [
    {
      code: 'not-watertight',
      ...atFile(part),
      message: `The surface of ${part.name} is not closed and could not be mended: ${openEdges} open, ${nonmanifoldEdges} non-manifold and ${misorientedEdges} misoriented edges. Close it in a modelling program and save it again.`,
      measured: faulty,
      limit: 0,
      unit: 'edges',
    },
  ];
}

export function meshRepaired({ part, facts }: PartContext): FindingDraft[] {
  const { repaired, sound } = facts.mesh;
  if (!sound || repaired.length === 0) return [];
  const message = `The mesh of ${part.name} was mended for the check: ${repaired.join('; ')}. The STL itself is unchanged.`;
  return [{ code: 'mesh-repaired', ...atFile(part), message }];
}

export function insideOut({ part, facts }: PartContext): FindingDraft[] {
  if (!facts.mesh.insideOut) return [];
  const message = `The whole mesh of ${part.name} was inside out (its volume as written is negative) and has been turned for the check and the ready mesh.`;
  return [{ code: 'inside-out', ...atFile(part), message }];
}

/** One finding a part, at the largest patch: a shell set inside another shows as many patches as it has faces. */
export function doubledWall({ part, facts }: PartContext): FindingDraft[] {
  const patches = facts.mesh.doubledWalls;
  const largest = patches[0];
  if (largest === undefined) return [];
  const areaMm2 = patches.reduce((sum, patch) => sum + patch.areaMm2, 0);
  const places = patches.length === 1 ? '' : ` in ${patches.length} places together`;
  return [
    {
      code: 'doubled-wall',
      ...atFile(part),
      message: `The surface of ${part.name} stands twice over ${figure(areaMm2, 'mm²')}${places}, ${figure(largest.gapMm, 'mm')} apart at the largest. Remove the inner one unless it is meant.`,
      at: largest.at,
      measured: largest.gapMm,
      ...(part.wall !== null && { limit: part.wall }),
      unit: 'mm',
    },
  ];
}

/** Shells that touch, overlap or hold each other are one piece; the largest is the part. */
export function looseShell({ part, facts }: PartContext): FindingDraft[] {
  const volumes = new Map<number, number>();
  for (const { group, volume } of facts.mesh.shells) {
    volumes.set(group, (volumes.get(group) ?? 0) + volume);
  }
  if (volumes.size < 2) return [];
  const smaller = [...volumes.values()].sort((a, b) => b - a).slice(1);
  return [
    {
      code: 'loose-shell',
      ...atFile(part),
      message: `${part.name} consists of ${volumes.size} pieces that do not touch; the largest beside its body has ${figure(Math.abs(smaller[0]!) / 1000, 'ml')}. Remove what is stray, or join it.`,
      measured: volumes.size,
      limit: 1,
      unit: 'pieces',
    },
  ];
}
