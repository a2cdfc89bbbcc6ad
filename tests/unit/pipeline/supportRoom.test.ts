import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { facingAreas } from '../../../src/core/pose/facingAreas.ts';
import { measurePose } from '../../../src/core/pose/measurePose.ts';
import { supportRoom } from '../../../src/core/pose/supportRoom.ts';
import { success } from '../../../src/core/result.ts';
import { barsOfPlan } from '../../../src/core/supports/supportBodies.ts';
import { atFinishedSize } from '../../../src/pipeline/atFinishedSize.ts';
import { layerOptions } from '../../../src/pipeline/layerDecisions.ts';
import { measurePart, withStages } from '../../../src/pipeline/measurePart.ts';
import { partRequestOf } from '../../../src/worker/partRequestOf.ts';
import { thisThread } from './thisThread.ts';

const sample = join(import.meta.dirname, '../../../sample-workspace');
const room = [396, 396, 400] as const;
/** From a place to the edge of its foot's raft, on both sides of a part, mm. */
const REACHES = 2 * 8.55;

/** Of a part of the sample as it is turned: what the pose keeps free on the plate for feet, and what its planned supports then take. */
async function bothOf(name: string, turn: readonly [number, number]) {
  const { manifest } = parseManifest(`kit: The Lamplighter
scale: { factor: 3.4 }
machine: { layer: 0.1, plate: [400, 400], height: 400, margin: 2 }
parts: { ${name}: { file: parts/${name}.stl, turn: [${turn}, 0], wall: solid, raise: 3.2, supports: planned } }
`);
  const part = manifest!.parts[0]!;
  const request = { ...partRequestOf(manifest!, part, sample, false)!, kitDir: null };
  const options = { keepMeshes: false, hashAgain: false };
  const measured = await measurePart(request, thisThread, options);
  const clean = await withStages(request, thisThread, false, async (stages) => {
    const prepared = await stages.prepared();
    return prepared.ok ? success(prepared.value.clean) : prepared;
  });
  if (!measured.ok || !clean.ok) throw new Error(`${name} cannot be measured`);
  const { facts } = measured.value;
  const supports = supportRoom(part.supports!, request.resin.greenStrength);
  const skin = atFinishedSize(clean.value, request.factor);
  const subject = {
    skin,
    cavity: null,
    hull: skin.positions,
    facing: facingAreas([{ mesh: skin }]),
    shown: null,
    openings: [],
  };
  const setting = { room, raiseMm: 3.2, supports, layerMm: 0.1, peel: 10, stepMm: 0.5 };
  const kept = measurePose(
    subject,
    [...turn, 0],
    { ...setting, layers: layerOptions(request) },
    uninterrupted,
  );
  const ends = barsOfPlan(facts.supports!, part.supports!).flatMap((bar) => [
    { at: bar.from, radius: bar.fromRadius },
    { at: bar.to, radius: bar.toRadius },
  ]);
  const taken = ([0, 1] as const).map((axis) =>
    ends.reduce(
      (most, { at, radius }) => Math.max(most, 2 * (Math.abs(at[axis]) + radius)),
      facts.mesh.sizeMm[axis],
    ),
  );
  const starts = facts.supports!.supports.filter(({ stands }) => stands === 'plate');
  return { kept: kept.fit.heldMm, taken, reachMm: supports.reachMm, starts, raft: part.supports!.raft };
}

describe('room for supports, against what the plan then makes of parts of the sample', () => {
  test.each([
    // Held low at the rim, where no strut can lean: what is kept is what is taken.
    ['cap', [0, 0], 1],
    ['head', [0, 0], 1],
    // Held higher there. On a plate without end struts need not lean in, and take up to both reaches more.
    ['cap', [180, 0], REACHES],
    ['oil-can', [31, 45], REACHES],
    ['head', [99, 30], REACHES],
    ['coat-skirt', [99, 30], REACHES],
  ] as const)(
    '%s turned %s',
    async (name, turn, moreMm) => {
      const { kept, taken, reachMm, starts, raft } = await bothOf(name, turn);
      for (const axis of [0, 1] as const) {
        // A strut that leans outward may take a little more; a foot under a light load takes less.
        expect(taken[axis]! - kept[axis]).toBeLessThan(moreMm);
        expect(kept[axis] - taken[axis]!).toBeLessThan(2 * reachMm + 0.5);
      }
      // It is raised just enough for a raft and tips: nothing that is held stands lower than the raft.
      expect(Math.min(...starts.map(({ contact }) => contact.at[2]))).toBeGreaterThan(raft);
    },
    60_000,
  );
});
