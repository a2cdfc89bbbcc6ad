import { MathUtils, PerspectiveCamera, Scene, Vector3, type WebGLRenderer } from 'three';
import { OrbitControls } from 'three/addons/controls/OrbitControls.js';
import type { Vec3 } from '../../src/core/vector.ts';
import type { Orbit } from '../../src/protocol/look.ts';
import type { Colour } from '../shared/colour.ts';
import { usableSize } from '../shared/usableSize.ts';
import { type CanvasPainter, createCanvasPainter } from './canvasPainter.ts';
import { createMotion, type Quality } from './motion.ts';
import { between, type Direction, framed, orbitFrom, orbitPosition } from './orbit.ts';
import { rawColour } from './surface.ts';

const verticalFov = 35;
const turnMilliseconds = 250;

/** A ball that holds what is to be seen. */
export interface Ball {
  readonly centre: Vec3;
  readonly radius: number;
}

/**
 * A canvas with a camera that goes round what is drawn: it is drawn when something changed, never otherwise, as well as
 * the renderer keeps up with, and in full when it rests.
 */
export interface OrbitCanvas {
  /** Tells what was drawn last: `data-triangles`, and `data-resting` when it was drawn in full. */
  readonly canvas: HTMLCanvasElement;
  readonly scene: Scene;
  readonly renderer: WebGLRenderer;
  /** `moved`: the same things from elsewhere. */
  changed(moved: boolean): void;
  /** Before the first picture of something new: the canvas may not have had a size yet. */
  resize(): void;
  setBackground(colour: Colour): void;
  /** How near and how far the camera may go. */
  setReach(least: number, most: number): void;
  orbit(): Orbit;
  /** At once, whatever it is on its way to. */
  place(orbit: Orbit): void;
  /** Moves there in a quarter of a second; at once for people who asked for less motion. */
  turnTo(orbit: Orbit): void;
  /** From where the whole of a ball is in sight. */
  framing(ball: Ball, direction: Direction): Orbit;
  /** CSS pixels from the canvas's corner; null behind the camera. */
  project(point: Vec3): { readonly x: number; readonly y: number; readonly depth: number } | null;
  /** The line of sight through a place of the canvas, CSS pixels; unit direction. */
  sight(x: number, y: number): { readonly from: Vec3; readonly direction: Vec3 };
  /** Where the camera stands, and its right and up. */
  eye(): { readonly from: Vec3; readonly right: Vec3; readonly up: Vec3 };
  dispose(): void;
}

export interface OrbitCanvasEvents {
  /** Before each drawing. `detail` 0 is the finest. */
  prepare(camera: Vec3, mmPerPixel: number, detail: number): void;
  /** How many triangles a picture of that detail has. */
  triangles(detail: number): number;
  /** How far behind the target anything is drawn, mm. */
  depth(): number;
  onDrawn(): void;
  onCameraMoved(): void;
  /** The picture stands still, drawn in that detail. */
  onRest(detail: number): void;
  onContext(lost: boolean): void;
}

/** Throws when the browser has no WebGL. */
export function createOrbitCanvas(host: HTMLElement, events: OrbitCanvasEvents): OrbitCanvas {
  const painter: CanvasPainter = createCanvasPainter();
  const { renderer } = painter;
  const canvas = renderer.domElement;
  canvas.toggleAttribute('data-resting', true);
  host.prepend(canvas);
  const scene = new Scene();
  const camera = new PerspectiveCamera(verticalFov, 1, 0.1, 10000);
  camera.up.set(0, 0, 1);
  const controls = new OrbitControls(camera, canvas);
  const motion = createMotion({
    draw,
    triangles: events.triangles,
    onRest({ detail }) {
      canvas.toggleAttribute('data-resting', true);
      events.onRest(detail);
    },
  });

  let background: Colour | null = null;
  let height = 1;
  let width = 1;
  let lost = false;
  let turning = 0;
  let placing = false;

  function draw({ detail, scale, smooth }: Quality): void {
    if (lost) return;
    const distance = camera.position.distanceTo(controls.target);
    camera.near = Math.max(0.05, distance / 200);
    camera.far = distance + events.depth();
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
    const mmPerPixel = (2 * distance * Math.tan(MathUtils.degToRad(verticalFov) / 2)) / height;
    events.prepare(toVec3(camera.position), mmPerPixel, detail);
    painter.paint(scene, camera, smooth, scale);
    canvas.dataset['triangles'] = String(events.triangles(detail));
    canvas.toggleAttribute('data-resting', motion.resting());
    events.onDrawn();
  }

  function resize(): void {
    const size = usableSize(host.clientWidth, host.clientHeight, document.hidden);
    if (size === null) return;
    ({ width, height } = size);
    painter.setSize(width, height);
    camera.aspect = width / height;
    // Drawn at once: a canvas that was resized is blank until it is drawn again.
    motion.drawNow();
  }

  function halfAngle(): number {
    const vertical = MathUtils.degToRad(verticalFov) / 2;
    return Math.min(vertical, Math.atan(Math.tan(vertical) * camera.aspect));
  }

  function place(orbit: Orbit): void {
    placing = true;
    controls.target.set(...orbit.target);
    camera.position.set(...orbitPosition(orbit));
    controls.update();
    placing = false;
    motion.changed(true);
    events.onCameraMoved();
  }

  function paintBackground(): void {
    if (background !== null) renderer.setClearColor(rawColour(background));
    motion.changed(false);
  }

  const onLost = (event: Event): void => {
    event.preventDefault();
    lost = true;
    events.onContext(true);
  };
  const onRestored = (): void => {
    lost = false;
    events.onContext(false);
    // A restored renderer has forgotten its clear colour.
    paintBackground();
  };
  canvas.addEventListener('webglcontextlost', onLost);
  canvas.addEventListener('webglcontextrestored', onRestored);
  controls.addEventListener('change', () => {
    if (placing) return;
    motion.changed(true);
    events.onCameraMoved();
  });
  controls.addEventListener('start', () => cancelAnimationFrame(turning));
  const observer = new ResizeObserver(resize);
  observer.observe(host);
  document.addEventListener('visibilitychange', resize);

  const orbitNow = (): Orbit => orbitFrom(toVec3(camera.position), toVec3(controls.target));

  return {
    canvas,
    scene,
    renderer,
    changed: (moved) => motion.changed(moved),
    resize,
    setBackground(colour) {
      background = colour;
      paintBackground();
    },
    setReach(least, most) {
      controls.minDistance = least;
      controls.maxDistance = most;
    },
    orbit: orbitNow,
    place(orbit) {
      cancelAnimationFrame(turning);
      place(orbit);
    },
    turnTo(to) {
      cancelAnimationFrame(turning);
      if (matchMedia('(prefers-reduced-motion: reduce)').matches) {
        place(to);
        return;
      }
      const from = orbitNow();
      const start = performance.now();
      const step = (now: number): void => {
        const share = Math.min(1, Math.max(0, (now - start) / turnMilliseconds));
        place(between(from, to, share * share * (3 - 2 * share)));
        if (share < 1) turning = requestAnimationFrame(step);
      };
      turning = requestAnimationFrame(step);
    },
    framing: ({ centre, radius }, direction) => framed(centre, radius, halfAngle(), direction),
    project(point) {
      const seen = new Vector3(...point).project(camera);
      if (seen.z > 1 || !Number.isFinite(seen.x)) return null;
      return { x: ((seen.x + 1) / 2) * width, y: ((1 - seen.y) / 2) * height, depth: seen.z };
    },
    sight(x, y) {
      camera.updateMatrixWorld();
      const through = new Vector3((2 * x) / width - 1, 1 - (2 * y) / height, 0.5).unproject(camera);
      const direction = through.sub(camera.position).normalize();
      return { from: toVec3(camera.position), direction: toVec3(direction) };
    },
    eye() {
      camera.updateMatrixWorld();
      const [right, up] = [new Vector3(), new Vector3()];
      camera.matrixWorld.extractBasis(right, up, new Vector3());
      return { from: toVec3(camera.position), right: toVec3(right), up: toVec3(up) };
    },
    dispose() {
      cancelAnimationFrame(turning);
      observer.disconnect();
      document.removeEventListener('visibilitychange', resize);
      canvas.removeEventListener('webglcontextlost', onLost);
      canvas.removeEventListener('webglcontextrestored', onRestored);
      motion.dispose();
      controls.dispose();
      lost = true;
      painter.dispose();
    },
  };
}

function toVec3({ x, y, z }: Vector3): Vec3 {
  return [x, y, z];
}
