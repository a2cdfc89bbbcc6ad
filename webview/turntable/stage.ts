import {
  BufferGeometry,
  Float32BufferAttribute,
  LineBasicMaterial,
  LineLoop,
  MathUtils,
  PerspectiveCamera,
  Scene,
  Vector3,
  WebGLRenderer,
} from 'three';
import { OrbitControls } from 'three/addons/controls/OrbitControls.js';
import type { Vec3 } from '../../src/core/vector.ts';
import type { PartView } from '../../src/protocol/partView.ts';
import type { Theme } from '../shared/theme.ts';
import { usableSize } from '../shared/usableSize.ts';
import { type Cut, cutPlane, type Plane } from './cut.ts';
import { createMachineVolume, type MachineVolume } from './machineVolume.ts';
import { between, type Direction, framed, type Orbit, orbitFrom, orbitPosition } from './orbit.ts';
import { createPartModel, type PartModel, type Show } from './partModel.ts';
import { stencilBase } from './section.ts';
import { managedColour } from './surface.ts';

const verticalFov = 35;
const turnMilliseconds = 250;

/** The 3D picture: draws when something changed, never otherwise. */
export interface Stage {
  readonly canvas: HTMLCanvasElement;
  /** Null takes the part away. The camera stays unless `frame` is set. */
  setView(view: PartView | null, frame: boolean): void;
  setCut(cut: Cut): void;
  setShow(show: Show): void;
  setTheme(theme: Theme): void;
  orbit(): Orbit;
  setOrbit(orbit: Orbit): void;
  /** Moves there in a quarter of a second; at once for people who asked for less motion. */
  turnTo(orbit: Orbit): void;
  look(direction: Direction): void;
  plane(): Plane | null;
  /** CSS pixels from the canvas's corner; null behind the camera. */
  project(point: Vec3): { readonly x: number; readonly y: number; readonly depth: number } | null;
  dispose(): void;
}

export interface StageEvents {
  onDrawn(): void;
  onCameraMoved(): void;
  onContext(lost: boolean): void;
}

/** Throws when the browser has no WebGL. */
export function createStage(host: HTMLElement, events: StageEvents): Stage {
  const renderer = new WebGLRenderer({ antialias: true, stencil: true });
  const canvas = renderer.domElement;
  host.prepend(canvas);
  const scene = new Scene();
  const camera = new PerspectiveCamera(verticalFov, 1, 0.1, 10000);
  camera.up.set(0, 0, 1);
  const controls = new OrbitControls(camera, canvas);
  const outline = new LineLoop(new BufferGeometry(), new LineBasicMaterial());
  outline.frustumCulled = false;
  scene.add(outline);

  let view: PartView | null = null;
  let model: PartModel | null = null;
  let machine: MachineVolume | null = null;
  let theme: Theme | null = null;
  let show: Show = { outside: true, seeThrough: false, hollow: true, flags: true };
  let cut: Cut = { by: 'none' };
  let height = 1;
  let width = 1;
  let asked = false;
  let lost = false;
  let turning = 0;

  function invalidate(): void {
    if (asked) return;
    asked = true;
    requestAnimationFrame(draw);
  }

  function draw(): void {
    asked = false;
    if (lost) return;
    const distance = camera.position.distanceTo(controls.target);
    const reach = distance + 4 * (model?.radius ?? 1) + machineReach();
    camera.near = Math.max(0.05, distance / 200);
    camera.far = reach;
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
    const mmPerPixel = (2 * distance * Math.tan(MathUtils.degToRad(verticalFov) / 2)) / height;
    model?.prepare(toVec3(camera.position), mmPerPixel);
    renderer.state.buffers.stencil.setClear(stencilBase);
    renderer.render(scene, camera);
    events.onDrawn();
  }

  function machineReach(): number {
    return view === null ? 0 : Math.hypot(...view.machine.plate, view.machine.height);
  }

  function resize(): void {
    const size = usableSize(host.clientWidth, host.clientHeight, document.hidden);
    if (size === null) return;
    ({ width, height } = size);
    renderer.setPixelRatio(window.devicePixelRatio);
    renderer.setSize(width, height, false);
    camera.aspect = width / height;
    // Drawn at once: a canvas that was resized is blank until it is drawn again.
    draw();
  }

  function halfAngle(): number {
    const vertical = MathUtils.degToRad(verticalFov) / 2;
    return Math.min(vertical, Math.atan(Math.tan(vertical) * camera.aspect));
  }

  function place(orbit: Orbit): void {
    controls.target.set(...orbit.target);
    camera.position.set(...orbitPosition(orbit));
    controls.update();
    invalidate();
  }

  function applyLook(): void {
    model?.setCut(cutPlane(cut, view?.strata.layerHeight ?? 1));
    model?.setShow(show);
    if (theme !== null) {
      model?.setTheme(theme);
      machine?.setTheme(theme);
      renderer.setClearColor(managedColour(theme.background));
      outline.material.color = managedColour(theme.section);
    }
    outlineCut();
    invalidate();
  }

  /** A thin frame round the part where it is cut, so that the plane is seen even where it meets nothing. */
  function outlineCut(): void {
    const plane = cutPlane(cut, view?.strata.layerHeight ?? 1);
    outline.visible = plane !== null && model !== null;
    if (plane === null || model === null) return;
    const normal = new Vector3(...plane.normal);
    const middle = new Vector3(...model.centre);
    middle.addScaledVector(normal, plane.offset - normal.dot(middle));
    const u = new Vector3(0, 0, 1).cross(normal);
    if (u.lengthSq() < 1e-6) u.set(1, 0, 0);
    u.normalize().multiplyScalar(1.15 * model.radius);
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

  function clearView(): void {
    model?.dispose();
    machine?.dispose();
    if (model !== null) scene.remove(model.group);
    if (machine !== null) scene.remove(machine.group);
    model = null;
    machine = null;
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
    applyLook();
  };
  canvas.addEventListener('webglcontextlost', onLost);
  canvas.addEventListener('webglcontextrestored', onRestored);
  controls.addEventListener('change', () => {
    invalidate();
    events.onCameraMoved();
  });
  controls.addEventListener('start', () => cancelAnimationFrame(turning));
  const observer = new ResizeObserver(resize);
  observer.observe(host);
  document.addEventListener('visibilitychange', resize);

  const stage: Stage = {
    canvas,
    setView(next, frame) {
      clearView();
      view = next;
      if (next !== null) {
        model = createPartModel(next);
        machine = createMachineVolume(next.machine);
        scene.add(model.group, machine.group);
        controls.maxDistance = 20 * (model.radius + machineReach());
        controls.minDistance = model.radius / 100;
        resize();
        if (frame) place(framed(model.centre, model.radius, halfAngle(), 'corner'));
      }
      applyLook();
    },
    setCut(next) {
      cut = next;
      applyLook();
    },
    setShow(next) {
      show = next;
      applyLook();
    },
    setTheme(next) {
      theme = next;
      applyLook();
    },
    orbit: () => orbitFrom(toVec3(camera.position), toVec3(controls.target)),
    setOrbit: place,
    turnTo,
    look(direction) {
      if (model !== null) turnTo(framed(model.centre, model.radius, halfAngle(), direction));
    },
    plane: () => cutPlane(cut, view?.strata.layerHeight ?? 1),
    project(point) {
      const seen = new Vector3(...point).project(camera);
      if (seen.z > 1 || !Number.isFinite(seen.x)) return null;
      return { x: ((seen.x + 1) / 2) * width, y: ((1 - seen.y) / 2) * height, depth: seen.z };
    },
    dispose() {
      cancelAnimationFrame(turning);
      observer.disconnect();
      document.removeEventListener('visibilitychange', resize);
      canvas.removeEventListener('webglcontextlost', onLost);
      canvas.removeEventListener('webglcontextrestored', onRestored);
      clearView();
      controls.dispose();
      outline.geometry.dispose();
      outline.material.dispose();
      lost = true;
      renderer.dispose();
      renderer.forceContextLoss();
      canvas.remove();
    },
  };
  return stage;
}

function toVec3({ x, y, z }: Vector3): Vec3 {
  return [x, y, z];
}
