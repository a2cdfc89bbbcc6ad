import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { packContainer, unpackContainer } from '../../../src/pipeline/container.ts';

const whole = (value: unknown): Uint8Array => new Uint8Array(Buffer.concat(packContainer(value)));

describe('container', () => {
  it('gives back data and typed arrays, wherever they stand', () => {
    const value = {
      name: 'torso',
      nothing: null,
      areas: new Float64Array([1, 2.5, -3]),
      deep: [{ mesh: { positions: new Float32Array([0.1]), triangles: new Uint32Array([4294967295]) } }],
      flags: new Uint8Array([1, 2, 3]),
      empty: new Int32Array(0),
    };
    expect(unpackContainer(whole(value))).toEqual(value);
  });

  it('reads from an unaligned place', () => {
    const bytes = whole({ x: new Float64Array([Math.PI]) });
    const shifted = new Uint8Array(bytes.length + 1);
    shifted.set(bytes, 1);
    expect(unpackContainer(shifted.subarray(1))).toEqual({ x: new Float64Array([Math.PI]) });
  });

  it('takes a file truncated at any byte as damaged', () => {
    const bytes = whole({ name: 'lantern', x: new Float32Array([1, 2, 3]) });
    for (let length = 0; length < bytes.length; length++)
      expect(unpackContainer(bytes.slice(0, length))).toBeNull();
  });

  it('never throws on foreign bytes', () => {
    fc.assert(fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => unpackContainer(bytes) === null));
  });
});
