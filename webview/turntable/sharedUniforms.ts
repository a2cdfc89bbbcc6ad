import { Color, DataTexture, FloatType, RGBAFormat, Vector4 } from 'three';
import type { OpeningView } from '../../src/protocol/partView.ts';
import type { Plane } from './cut.ts';
import { showTexture } from './showTexture.ts';

/** Uniforms that every material of the part shares by reference, so one change reaches them all. */
export interface SharedUniforms {
  readonly cut: { value: Vector4 };
  readonly cutOn: { value: boolean };
  readonly openingData: { value: DataTexture };
  readonly openingCount: { value: number };
  readonly showData: { value: DataTexture };
  readonly showColour: { value: Color };
  /** Millimetres one pixel covers near the part. */
  readonly mmPerPixel: { value: number };
}

export function sharedUniforms(): SharedUniforms {
  return {
    cut: { value: new Vector4() },
    cutOn: { value: false },
    openingData: { value: openingTexture([]) },
    openingCount: { value: 0 },
    showData: { value: showTexture([]).texture },
    showColour: { value: new Color() },
    mmPerPixel: { value: 1 },
  };
}

export function setCutPlane(uniforms: SharedUniforms, plane: Plane | null): void {
  uniforms.cutOn.value = plane !== null;
  if (plane !== null) uniforms.cut.value.set(...plane.normal, plane.offset);
}

export function setOpenings(uniforms: SharedUniforms, openings: readonly OpeningView[]): void {
  uniforms.openingData.value.dispose();
  uniforms.openingData.value = openingTexture(openings);
  uniforms.openingCount.value = openings.length;
}

function openingTexture(openings: readonly OpeningView[]): DataTexture {
  const texels = new Float32Array(12 * Math.max(1, openings.length));
  openings.forEach(({ mouth, radius, axis, depth, outward }, i) => {
    const reach2 = Math.max(depth, outward) ** 2 + radius ** 2;
    texels.set([...mouth, 1.001 * reach2, ...axis, depth, outward, radius ** 2, 0, 0], 12 * i);
  });
  const texture = new DataTexture(texels, texels.length / 4, 1, RGBAFormat, FloatType);
  texture.needsUpdate = true;
  return texture;
}
