import { BufferGeometry, Float32BufferAttribute, LineBasicMaterial, LineLoop, Vector3 } from 'three';
import type { Orbit } from '../../src/protocol/look.ts';
import type { PartScene, PartView } from '../../src/protocol/partView.ts';
import type { Theme } from '../shared/theme.ts';
import type { Plane } from './cut.ts';
import { createMachineVolume, type MachineVolume } from './machineVolume.ts';
import type { Direction } from './orbit.ts';
import { createOrbitCanvas, type OrbitCanvas, type OrbitCanvasEvents } from './orbitCanvas.ts';
import { createPartModel, emptyShape, type Show } from './partModel.ts';
import { createRestingRims, type RestingMouth } from './restingRims.ts';
import { rawColour } from './surface.ts';
import type { SurfaceStore } from './surfaceStore.ts';

/** The 3D picture: draws when something changed, never otherwise. */
export interface Stage
  extends Pick<OrbitCanvas, 'canvas' | 'orbit' | 'turnTo' | 'project' | 'sight' | 'eye' | 'dispose'> {
  /** Null takes the part away. The camera stays unless `frame` is set. */
  setScene(scene: PartScene | null, drawn: Drawn, frame: boolean): void;
  /** Something new is in the store. */
  surfacesCame(): void;
  setPlane(plane: Plane | null): void;
  setShow(show: Show): void;
  /** Rims that are drawn over everything. */
  setRims(mouths: readonly RestingMouth[]): void;
  setTheme(theme: Theme): void;
  setOrbit(orbit: Orbit): void;
  look(direction: Direction): void;
  plane(): Plane | null;
}

/** What is drawn on and into the surfaces, print frame. */
export type Drawn = Pick<PartView, 'openings' | 'show' | 'supports' | 'lights'>;

export type StageEvents = Pick<OrbitCanvasEvents, 'onDrawn' | 'onCameraMoved' | 'onRest' | 'onContext'>;

/** Throws when the browser has no WebGL. */
export function createStage(host: HTMLElement, surfaces: SurfaceStore, events: StageEvents): Stage {
  const outline = new LineLoop(new BufferGeometry(), new LineBasicMaterial());
  outline.frustumCulled = false;
  const model = createPartModel();
  const rims = createRestingRims();
  const view = createOrbitCanvas(host, {
    ...events,
    prepare: model.prepare,
    triangles: model.triangles,
    depth: () => 4 * (model.ball()?.radius ?? 1) + machineReach(),
  });
  const { scene } = view;
  scene.add(outline, model.group, rims.lines);

  let part: PartScene | null = null;
  let drawn: Drawn = emptyShape;
  let machine: MachineVolume | null = null;
  let theme: Theme | null = null;
  let plane: Plane | null = null;
  /** The part is to be framed as soon as its size is known. */
  let toFrame = false;

  function machineReach(): number {
    return part === null ? 0 : Math.hypot(...part.machine.plate, part.machine.height);
  }

  function paintTheme(): void {
    if (theme === null) return;
    model.setTheme(theme);
    rims.setColour(theme.foreground);
    machine?.setTheme(theme);
    outline.material.color = rawColour(theme.section);
    view.setBackground(theme.background);
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
      view.setReach(ball.radius / 100, 20 * (ball.radius + machineReach()));
      if (toFrame) view.place(view.framing(ball, 'corner'));
      toFrame = false;
    }
    outlineCut();
    view.changed(false);
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

  function setMachine(next: PartScene['machine'] | null): void {
    if (machine !== null) scene.remove(machine.group);
    machine?.dispose();
    machine = next === null ? null : createMachineVolume(next);
    if (machine === null) return;
    scene.add(machine.group);
    if (theme !== null) machine.setTheme(theme);
  }

  return {
    canvas: view.canvas,
    setScene(next, nextDrawn, frame) {
      const sameMachine = JSON.stringify(next?.machine) === JSON.stringify(part?.machine);
      part = next;
      drawn = nextDrawn;
      toFrame = next !== null && (toFrame || frame);
      if (!sameMachine || next === null) setMachine(next?.machine ?? null);
      if (next === null) {
        model.setShape(emptyShape);
        outlineCut();
        view.changed(false);
        return;
      }
      view.resize();
      shapePart();
    },
    surfacesCame: shapePart,
    setPlane(next) {
      plane = next;
      model.setCut(plane);
      outlineCut();
      view.changed(true);
    },
    setShow(next) {
      model.setShow(next);
      view.changed(false);
    },
    setRims(mouths) {
      if (rims.set(mouths)) view.changed(true);
    },
    setTheme(next) {
      theme = next;
      paintTheme();
    },
    orbit: view.orbit,
    setOrbit(orbit) {
      toFrame = false;
      view.place(orbit);
    },
    turnTo: view.turnTo,
    look(direction) {
      const ball = model.ball();
      if (ball !== null) view.turnTo(view.framing(ball, direction));
    },
    plane: () => plane,
    project: view.project,
    sight: view.sight,
    eye: view.eye,
    dispose() {
      setMachine(null);
      model.dispose();
      rims.dispose();
      outline.geometry.dispose();
      outline.material.dispose();
      view.dispose();
    },
  };
}
