import {
  BufferGeometry,
  Float32BufferAttribute,
  LineBasicMaterial,
  LineLoop,
  MathUtils,
  PerspectiveCamera,
  Scene,
  Vector3,
} from 'three';
import { OrbitControls } from 'three/addons/controls/OrbitControls.js';
import type { Vec3 } from '../../src/core/vector.ts';
import type { PartScene, PartView } from '../../src/protocol/partView.ts';
import type { Theme } from '../shared/theme.ts';
import { usableSize } from '../shared/usableSize.ts';
import { type CanvasPainter, createCanvasPainter } from './canvasPainter.ts';
import type { Plane } from './cut.ts';
import { createMachineVolume, type MachineVolume } from './machineVolume.ts';
import { createMotion, type Quality } from './motion.ts';
import { between, type Direction, framed, type Orbit, orbitFrom, orbitPosition } from './orbit.ts';
import { createPartModel, emptyShape, type Show } from './partModel.ts';
import { createRestingRims, type RestingMouth } from './restingRims.ts';
import { rawColour } from './surface.ts';
import type { SurfaceStore } from './surfaceStore.ts';

const verticalFov = 35;
const turnMilliseconds = 250;

/** The 3D picture: draws when something changed, never otherwise. */
export interface Stage {
  /** Tells what was drawn last: `data-triangles`, and `data-resting` when it was drawn in full. */
  readonly canvas: HTMLCanvasElement;
  /** Null takes the part away. The camera stays unless `frame` is set. */
  setScene(scene: PartScene | null, drawn: Drawn, frame: boolean): void;
  /** Something new is in the store. */
  surfacesCame(): void;
  setPlane(plane: Plane | null): void;
  setShow(show: Show): void;
  /** Rims that are drawn over everything. */
  setRims(mouths: readonly RestingMouth[]): void;
  setTheme(theme: Theme): void;
  orbit(): Orbit;
  setOrbit(orbit: Orbit): void;
  /** Moves there in a quarter of a second; at once for people who asked for less motion. */
  turnTo(orbit: Orbit): void;
  look(direction: Direction): void;
  plane(): Plane | null;
  /** CSS pixels from the canvas's corner; null behind the camera. */
  project(point: Vec3): { readonly x: number; readonly y: number; readonly depth: number } | null;
  /** The line of sight through a place of the canvas, CSS pixels; unit direction. */
  sight(x: number, y: number): { readonly from: Vec3; readonly direction: Vec3 };
  /** Where the camera stands, and its right and up. */
  eye(): { readonly from: Vec3; readonly right: Vec3; readonly up: Vec3 };
  dispose(): void;
}

/** What is drawn on and into the surfaces, print frame. */
export type Drawn = Pick<PartView, 'openings' | 'show' | 'supports' | 'lights'>;

export interface StageEvents {
  onDrawn(): void;
  onCameraMoved(): void;
  /** The picture stands still, drawn in that detail (0 the finest). */
  onRest(detail: number): void;
  onContext(lost: boolean): void;
}

/** Throws when the browser has no WebGL. */
export function createStage(host: HTMLElement, surfaces: SurfaceStore, events: StageEvents): Stage {
  const painter: CanvasPainter = createCanvasPainter();
  const { renderer } = painter;
  const canvas = renderer.domElement;
  canvas.toggleAttribute('data-resting', true);
  host.prepend(canvas);
  const scene = new Scene();
  const camera = new PerspectiveCamera(verticalFov, 1, 0.1, 10000);
  camera.up.set(0, 0, 1);
  const controls = new OrbitControls(camera, canvas);
  const outline = new LineLoop(new BufferGeometry(), new LineBasicMaterial());
  outline.frustumCulled = false;
  const model = createPartModel();
  const rims = createRestingRims();
  scene.add(outline, model.group, rims.lines);
  const motion = createMotion({
    draw,
    triangles: (detail) => model.triangles(detail),
    onRest({ detail }) {
      canvas.toggleAttribute('data-resting', true);
      events.onRest(detail);
    },
  });

  let part: PartScene | null = null;
  let drawn: Drawn = emptyShape;
  let machine: MachineVolume | null = null;
  let theme: Theme | null = null;
  let plane: Plane | null = null;
  /** The part is to be framed as soon as its size is known. */
  let toFrame = false;
  let height = 1;
  let width = 1;
  let lost = false;
  let turning = 0;
  let placing = false;

  function draw({ detail, scale, smooth }: Quality): void {
    if (lost) return;
    const distance = camera.position.distanceTo(controls.target);
    camera.near = Math.max(0.05, distance / 200);
    camera.far = distance + 4 * (model.ball()?.radius ?? 1) + machineReach();
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
    const mmPerPixel = (2 * distance * Math.tan(MathUtils.degToRad(verticalFov) / 2)) / height;
    model.prepare(toVec3(camera.position), mmPerPixel, detail);
    painter.paint(scene, camera, smooth, scale);
    canvas.dataset['triangles'] = String(model.triangles(detail));
    canvas.toggleAttribute('data-resting', motion.resting());
    events.onDrawn();
  }

  function machineReach(): number {
    return part === null ? 0 : Math.hypot(...part.machine.plate, part.machine.height);
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

  function paintTheme(): void {
    if (theme === null) return;
    model.setTheme(theme);
    rims.setColour(theme.foreground);
    machine?.setTheme(theme);
    renderer.setClearColor(rawColour(theme.background));
    outline.material.color = rawColour(theme.section);
    motion.changed(false);
  }

  function shapePart(): void {
    if (part === null) return;
    model.setShape({
      toPrint: part.toPrint,
      outer: surfaces.get(part.outer)?.levels ?? [],
      cavity: surfaces.get(part.cavity)?.levels ?? [],
      openings: drawn.openings,
      show: drawn.show,
      supports: drawn.supports,
      lights: drawn.lights,
    });
    const ball = model.ball();
    if (ball !== null) {
      controls.maxDistance = 20 * (ball.radius + machineReach());
      controls.minDistance = ball.radius / 100;
      if (toFrame) place(framed(ball.centre, ball.radius, halfAngle(), 'corner'));
      toFrame = false;
    }
    outlineCut();
    motion.changed(false);
  }

  /** A thin frame round the part where it is cut, so that the plane is seen even where it meets nothing. */
  function outlineCut(): void {
    const ball = model.ball();
    outline.visible = plane !== null && ball !== null && part !== null;
    if (plane === null || ball === null) return;
    const normal = new Vector3(...plane.normal);
    const middle = new Vector3(...ball.centre);
    middle.addScaledVector(normal, plane.offset - normal.dot(middle));
    const u = new Vector3(0, 0, 1).cross(normal);
    if (u.lengthSq() < 1e-6) u.set(1, 0, 0);
    u.normalize().multiplyScalar(1.15 * ball.radius);
    const v = normal.clone().cross(u);
    const corners = [
      [1, 1],
      [-1, 1],
      [-1, -1],
      [1, -1],
    ].flatMap(([a, b]) => middle.clone().addScaledVector(u, a!).addScaledVector(v, b!).toArray());
    outline.geometry.setAttribute('position', new Float32BufferAttribute(corners, 3));
  }

  function turnTo(to: Orbit): void {
    cancelAnimationFrame(turning);
    if (matchMedia('(prefers-reduced-motion: reduce)').matches) {
      place(to);
      return;
    }
    const from = stage.orbit();
    const start = performance.now();
    const step = (now: number): void => {
      const share = Math.min(1, Math.max(0, (now - start) / turnMilliseconds));
      place(between(from, to, share * share * (3 - 2 * share)));
      if (share < 1) turning = requestAnimationFrame(step);
    };
    turning = requestAnimationFrame(step);
  }

  function setMachine(next: PartScene['machine'] | null): void {
    if (machine !== null) scene.remove(machine.group);
    machine?.dispose();
    machine = next === null ? null : createMachineVolume(next);
    if (machine === null) return;
    scene.add(machine.group);
    if (theme !== null) machine.setTheme(theme);
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
    paintTheme();
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

  const stage: Stage = {
    canvas,
    setScene(next, nextDrawn, frame) {
      const sameMachine = JSON.stringify(next?.machine) === JSON.stringify(part?.machine);
      part = next;
      drawn = nextDrawn;
      toFrame = next !== null && (toFrame || frame);
      if (!sameMachine || next === null) setMachine(next?.machine ?? null);
      if (next === null) {
        model.setShape(emptyShape);
        outlineCut();
        motion.changed(false);
        return;
      }
      resize();
      shapePart();
    },
    surfacesCame: shapePart,
    setPlane(next) {
      plane = next;
      model.setCut(plane);
      outlineCut();
      motion.changed(true);
    },
    setShow(next) {
      model.setShow(next);
      motion.changed(false);
    },
    setRims(mouths) {
      if (rims.set(mouths)) motion.changed(true);
    },
    setTheme(next) {
      theme = next;
      paintTheme();
    },
    orbit: () => orbitFrom(toVec3(camera.position), toVec3(controls.target)),
    setOrbit(orbit) {
      toFrame = false;
      place(orbit);
    },
    turnTo,
    look(direction) {
      const ball = model.ball();
      if (ball !== null) turnTo(framed(ball.centre, ball.radius, halfAngle(), direction));
    },
    plane: () => plane,
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
      setMachine(null);
      model.dispose();
      rims.dispose();
      controls.dispose();
      outline.geometry.dispose();
      outline.material.dispose();
      lost = true;
      painter.dispose();
    },
  };
  return stage;
}

function toVec3({ x, y, z }: Vector3): Vec3 {
  return [x, y, z];
}
