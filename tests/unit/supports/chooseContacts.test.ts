import { expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { bodyFinder } from '../../../src/core/supports/bodyFinder.ts';
import { growPart } from '../../../src/core/supports/growPart.ts';
import { undersideNear } from '../../../src/core/supports/undersideNear.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { logLoads as logBySweep } from '../../oracles/logLoadsBySweep.ts';
import { box, cone, hollowSphere, icosphere, join, transformed, tube } from '../../shapes.ts';
import { anywhere, loadsIn, logLoads, mergesIn, setting, solidAt, straightDown, table } from './supported.ts';

const at = (mesh: Mesh, shift: Vec3): Mesh => transformed(mesh, { shift });
/** Pegs of all heights under a tilted plate: bodies that begin, grow, and become one. */
const pegs = join(
  transformed(box([60, 40, 3]), { turn: [7, 11, 0], shift: [0, 0, 40] }),
  ...Array.from({ length: 24 }, (_, n) => {
    const high = 4 + ((n * 7) % 19);
    return at(box([n % 3 === 0 ? 0.3 : 2, 2, high]), [
      -24 + 8 * (n % 6),
      -13 + 8 * Math.floor(n / 6),
      38 - high / 2,
    ]);
  }),
);
const parts: [string, Mesh][] = [
  ['a table', table],
  ['a hollow ball', at(hollowSphere(15, 2, 64), [0, 0, 19])],
  ['pegs under a plate', pegs],
  ['a ball over a tube', join(at(icosphere(9, 4), [0, 0, 30]), at(tube(12, 10, 12, 96), [0, 0, 11]))],
  ['a cone on its tip', transformed(cone(14, 9, 64), { turn: [180, 0, 0], shift: [0, 0, 14] })],
];
const ways = [
  { selfSupportDeg: 19, spacingMm: 4, leastMm2: 0.1 },
  { selfSupportDeg: 60, spacingMm: 2.5, leastMm2: 3 },
];
const shownHalf = ([x, y]: Vec3): boolean => x + y > 3;
const keptHalf = ([x, , z]: Vec3): boolean => x > 6 && z > 10;

test.each(parts)(
  '%s: what is kept of its growth gives the contacts that one sweep of everything gives',
  (_, mesh) => {
    const part = solidAt(mesh);
    for (const way of ways) {
      const by = { ...setting, ...way };
      const growth = growPart(part, by.leastMm2, uninterrupted);
      const own = (
        [
          [1, 1, 25],
          [-4, 2, 6],
          [0.3, 0, 5],
        ] as Vec3[]
      ).flatMap((place, byHand) => {
        const under = undersideNear(part.solid, place, 12);
        if (under === null || under.layer === 0) return [];
        return [{ ...under, byHand, leastMm: 0.8, body: bodyFinder(part, growth)(under.layer, under.at) }];
      });
      const places = {
        ...anywhere,
        isShown: shownHalf,
        isKeptFree: keptHalf,
        byHand: own,
        routeFrom: ([x, y, z]: Vec3, isStart: boolean) =>
          !isStart && y > 11 ? null : straightDown([x, y, z]),
      };
      const log = logLoads(part, by, places);
      const slow = logBySweep(
        part,
        by,
        { ...places, byHand: own.map(({ body: _, ...settled }) => settled) },
        uninterrupted,
      );
      expect(log.contacts.length).toBeGreaterThan(2);
      expect(log.contacts).toEqual(slow.contacts);
      expect([log.unreached, log.wayless]).toEqual([slow.unreached, slow.wayless]);
      expect([log.growth.bodies, log.growth.onPlate]).toEqual([slow.bodies, slow.onPlate]);
      const holds = slow.steps.flatMap(({ contacts }, layer) => contacts.map(([, body]) => [body, layer]));
      expect(Array.from(log.body, (body, n) => [body, log.from[n]])).toEqual(holds);
      slow.steps.forEach(({ merges, loads }, layer) => {
        expect(mergesIn(log.growth, layer)).toEqual(merges);
        expect(loadsIn(log.growth, layer)).toEqual(loads);
      });
    }
  },
);
