import type { Mesh } from '../../src/core/mesh/mesh.ts';
import type { Vec3 } from '../../src/core/vector.ts';
import { random } from '../shapes.ts';

/** 100 000 points within 2 mm of a surface, the same for every library that is asked for what is closest. */
export function* askedPoints({ positions }: Mesh): Generator<Vec3> {
  const next = random(7);
  const corners = positions.length / 3;
  for (let i = 0; i < 100_000; i++) {
    const at = 3 * Math.floor(next() * corners);
    const off = () => (next() - 0.5) * 4;
    yield [positions[at]! + off(), positions[at + 1]! + off(), positions[at + 2]! + off()];
  }
}
