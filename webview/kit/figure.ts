import { type BufferGeometry, Color, DoubleSide, Group, Mesh, ShaderMaterial, Vector3, Vector4 } from 'three';
import type { Mesh as CoreMesh } from '../../src/core/mesh/mesh.ts';
import type { PackedSurface } from '../../src/core/surface/packedSurface.ts';
import { unpackSurface } from '../../src/core/surface/unpackSurface.ts';
import { add, norm, scale, subtract, type Vec3 } from '../../src/core/vector.ts';
import type { Theme } from '../shared/theme.ts';
import type { Ball } from '../turntable/orbitCanvas.ts';
import { packedGeometry } from '../turntable/packedGeometry.ts';
import { surfaceVertex } from '../turntable/shaders.ts';
import { rawColour } from '../turntable/surface.ts';
import { type Look, patterns } from './colouring.ts';
import { firstHit } from './firstHit.ts';
import { kitFragment } from './kitShader.ts';

/** One part of the figure as it is to be drawn. */
export interface FigurePart {
  readonly name: string;
  /** Source axes at finished size, mm. */
  readonly surface: PackedSurface;
  readonly look: Look;
}

/** All parts where they were sculpted, or pulled apart. */
export interface Figure {
  readonly group: Group;
  setParts(parts: readonly FigurePart[]): void;
  /** How far the outermost part is moved away from the middle, mm; the others in proportion to how far out they are. */
  setApart(mm: number): void;
  setPicked(name: string | null): void;
  setTheme(theme: Theme): void;
  prepare(mmPerPixel: number): void;
  triangles(): number;
  /** Round all parts as they stand; null when there are none. */
  ball(): Ball | null;
  /** From the middle to the middle of the outermost part, before anything is pulled, mm. */
  reach(): number;
  /** The middle of a part as it stands. */
  middle(name: string): Vec3 | null;
  /** The part that a line of sight meets first. */
  along(from: Vec3, direction: Vec3): string | null;
  dispose(): void;
}

interface Drawn {
  readonly surface: PackedSurface;
  readonly geometry: BufferGeometry;
  readonly material: ShaderMaterial;
  readonly mesh: Mesh;
  readonly solid: CoreMesh;
  /** Corners of its box, as sculpted. */
  readonly low: Vec3;
  readonly high: Vec3;
  readonly middle: Vec3;
  readonly radius: number;
  look: Look;
  /** From where it was sculpted to where it stands. */
  moved: Vec3;
}

const nowhere: Vec3 = [0, 0, 0];

export function createFigure(): Figure {
  const group = new Group();
  const drawn = new Map<string, Drawn>();
  const mmPerPixel = { value: 1 };
  const inkColour = { value: new Color() };
  const pickedColour = { value: new Color() };
  let theme: Theme | null = null;
  let apartMm = 0;
  let picked: string | null = null;

  function make({ surface, look }: FigurePart): Drawn {
    const geometry = packedGeometry(surface);
    const material = new ShaderMaterial({
      vertexShader: surfaceVertex,
      fragmentShader: kitFragment,
      side: DoubleSide,
      defines: { PACKED: '' },
    });
    material.uniforms = {
      placing: { value: new Vector4(...surface.origin, surface.step) },
      colour: { value: new Color() },
      home: { value: new Vector3() },
      pattern: { value: 0 },
      picked: { value: false },
      mmPerPixel,
      inkColour,
      pickedColour,
    };
    const mesh = new Mesh(geometry, material);
    mesh.frustumCulled = false;
    const solid = unpackSurface(surface);
    const [low, high] = boundsOf(solid.positions);
    const middle = scale(add(low, high), 0.5);
    const radius = norm(subtract(high, low)) / 2;
    return { surface, geometry, material, mesh, solid, low, high, middle, radius, look, moved: nowhere };
  }

  function drop(name: string, { mesh, geometry, material }: Drawn): void {
    group.remove(mesh);
    geometry.dispose();
    material.dispose();
    drawn.delete(name);
  }

  function paint(): void {
    if (theme === null) return;
    inkColour.value.copy(rawColour(theme.background));
    pickedColour.value.copy(rawColour(theme.foreground));
    for (const { material, look } of drawn.values()) {
      material.uniforms['colour']!.value.copy(rawColour(look.colour(theme)));
      material.uniforms['pattern']!.value = patterns.indexOf(look.pattern);
    }
  }

  /** Of the box round all parts as sculpted. */
  function centre(): Vec3 {
    const all = [...drawn.values()];
    return [0, 1, 2].map((axis) => {
      const low = Math.min(...all.map((part) => part.low[axis]!));
      const high = Math.max(...all.map((part) => part.high[axis]!));
      return (low + high) / 2;
    }) as unknown as Vec3;
  }

  function reach(): number {
    const from = centre();
    return Math.max(0, ...[...drawn.values()].map(({ middle }) => norm(subtract(middle, from))));
  }

  function pull(): void {
    if (drawn.size === 0) return;
    const from = centre();
    const farthest = reach();
    for (const part of drawn.values()) {
      part.moved = farthest === 0 ? nowhere : scale(subtract(part.middle, from), apartMm / farthest);
      part.mesh.position.set(...part.moved);
      part.material.uniforms['home']!.value.set(...part.moved);
    }
  }

  function pick(): void {
    for (const [name, { material }] of drawn) material.uniforms['picked']!.value = name === picked;
  }

  return {
    group,
    setParts(parts) {
      const wanted = new Map(parts.map((part) => [part.name, part]));
      for (const [name, old] of [...drawn]) {
        if (wanted.get(name)?.surface !== old.surface) drop(name, old);
      }
      for (const [name, part] of wanted) {
        const made = drawn.get(name) ?? make(part);
        made.look = part.look;
        if (drawn.has(name)) continue;
        drawn.set(name, made);
        group.add(made.mesh);
      }
      paint();
      pull();
      pick();
    },
    setApart(mm) {
      apartMm = mm;
      pull();
    },
    setPicked(name) {
      picked = name;
      pick();
    },
    setTheme(next) {
      theme = next;
      paint();
    },
    prepare(mm) {
      mmPerPixel.value = mm;
    },
    triangles: () => [...drawn.values()].reduce((sum, { surface }) => sum + surface.triangleCount, 0),
    ball() {
      if (drawn.size === 0) return null;
      const at = centre();
      const radii = [...drawn.values()].map(
        ({ middle, moved, radius }) => norm(subtract(add(middle, moved), at)) + radius,
      );
      return { centre: at, radius: Math.max(1, ...radii) };
    },
    reach: () => (drawn.size === 0 ? 0 : reach()),
    middle(name) {
      const part = drawn.get(name);
      return part === undefined ? null : add(part.middle, part.moved);
    },
    along(from, direction) {
      let nearest = Infinity;
      let found: string | null = null;
      for (const [name, { solid, middle, moved, radius }] of drawn) {
        const eye = subtract(from, moved);
        if (!meetsBall(eye, direction, middle, radius)) continue;
        const away = firstHit(solid, eye, direction);
        if (away >= nearest) continue;
        nearest = away;
        found = name;
      }
      return found;
    },
    dispose() {
      for (const [name, part] of [...drawn]) drop(name, part);
    },
  };
}

function boundsOf(positions: Float32Array): readonly [Vec3, Vec3] {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i++) {
    low[i % 3] = Math.min(low[i % 3]!, positions[i]!);
    high[i % 3] = Math.max(high[i % 3]!, positions[i]!);
  }
  return [low as unknown as Vec3, high as unknown as Vec3];
}

/** Unit `direction`. */
function meetsBall(from: Vec3, direction: Vec3, middle: Vec3, radius: number): boolean {
  const to = subtract(middle, from);
  const along = to[0] * direction[0] + to[1] * direction[1] + to[2] * direction[2];
  return norm(to) ** 2 - along ** 2 <= radius ** 2;
}
