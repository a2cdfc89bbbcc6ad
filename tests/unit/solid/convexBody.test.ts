import { expect, it } from 'vitest';
import { cutterMesh } from '../../../src/core/openings/cutterMesh.ts';
import { normalized } from '../../../src/core/vector.ts';
import { convexBody } from '../../../src/solid/convexBody.ts';
import { cup, random } from '../../shapes.ts';

it('every cutter is convex, thin ones far from the origin too, whatever rounding does to slivers of their ends', () => {
  const next = random(7);
  const between = (low: number, high: number): number => low + (high - low) * next();
  for (let n = 0; n < 300; n++) {
    const opening = {
      id: 'vents/0',
      kind: 'vent',
      mouth: [between(-150, 150), between(-150, 150), between(0, 300)],
      axis: normalized([between(-1, 1), between(-1, 1), between(-1, 1)]),
      radius: between(0.5, 10),
      depth: between(2, 60),
      outward: between(0.01, 1),
    } as const;
    const body = convexBody(cutterMesh(opening));
    expect(body, `bore ${n} of seed 7: ${JSON.stringify(opening)}`).not.toBeNull();
    // Of a prism the ends are the sides of most facets, and it runs along its axis.
    const along = body!.axis.reduce((sum, value, axis) => sum + value * opening.axis[axis]!, 0);
    expect(Math.abs(along)).toBeGreaterThan(0.9999);
  }
});

it('a cup is not', () => {
  expect(convexBody(cup(10, 8, 20, 2))).toBeNull();
});
