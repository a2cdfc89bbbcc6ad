import type { Vec3 } from '../../src/core/vector.ts';
import type { Beside, CutPlace, Look, Orbit } from '../../src/protocol/look.ts';
import {
  type Flag,
  type OpeningView,
  type PartScene,
  type PartView,
  surfaceKeys,
} from '../../src/protocol/partView.ts';
import type { PoseChoice } from '../../src/protocol/poseChoice.ts';
import type { SurfacePiece } from '../../src/protocol/surfacePiece.ts';
import type { Done, ViewState } from '../../src/protocol/viewMessages.ts';
import type { Theme } from '../shared/theme.ts';
import { clampLayer } from '../strata/layerAxis.ts';
import { createStrata } from '../strata/strata.ts';
import { strataTables } from '../strata/strataTable.ts';
import { cutText, layerValueText } from '../strata/strataTexts.ts';
import { createBanner, workingText } from './banner.ts';
import { createControls, plainButton } from './controls.ts';
import { type Cut, cutPlane, extentAlong, planeNormal } from './cut.ts';
import { cutAtPlace, cutPlaceOf } from './cutPlace.ts';
import { drawnText } from './drawnText.ts';
import { createEditing, type EditHost, type Editing } from './editing.ts';
import { createFlagMarks, flagPoint } from './flagMarks.ts';
import { flagText } from './flagOrder.ts';
import { changeList, figureLines, figureList, flagList, markSelectedRow, openingList } from './lists.ts';
import { createLookTeller } from './lookTeller.ts';
import { orbitForKey } from './orbit.ts';
import { createPage } from './page.ts';
import { emptyShape, type Show } from './partModel.ts';
import { createPoseStrip } from './poseStrip.ts';
import { readSavedState, type SavedState } from './savedState.ts';
import { createStage, type Stage } from './stage.ts';
import { createSurfacePicker } from './surfacePicker.ts';
import { openSurfaceStore } from './surfaceStore.ts';

export interface TurntableHost {
  readonly savedState: unknown;
  saveState(state: SavedState): void;
  revealFinding(number: number): void;
  revealOpening(id: string): void;
  makeReady(): void;
  cancel(): void;
  copyText(text: string): void;
  /** A rejected call says why. */
  takePose(part: string, number: number): Promise<Done>;
  closePoses(): void;
  looked(look: Look): Promise<unknown>;
  /** Gestures on a part, by its name; a rejected call says why. */
  edits(part: string): EditHost;
}

export interface Turntable {
  show(state: ViewState): void;
  addSurface(piece: SurfacePiece): void;
  revealFlag(number: number): void;
  showPoses(choice: PoseChoice | null, focus: boolean): void;
  cutAtLayer(layer: number | null): void;
  standBeside(beside: Beside): void;
  follow(look: Look): void;
  setTheme(theme: Theme): void;
  say(text: string): void;
  dispose(): void;
}

const saveDelay = 200;

/** The page that shows one part: owns which part, where it is cut, what is shown and selected. */
export function createTurntable(root: HTMLElement, host: TurntableHost): Turntable {
  const saved = readSavedState(host.savedState);
  const surfaces = openSurfaceStore();
  /** What is drawn: of `view`, or of a part that is still being measured. */
  let scene: PartScene | null = null;
  let view: PartView | null = null;
  let editable = false;
  let cut: Cut = { by: 'none' };
  let show: Show = saved?.show ?? {
    outside: true,
    seeThrough: false,
    hollow: true,
    supports: true,
    flags: true,
  };
  let selected: number | null = null;
  let restDetail = 0;
  let lost = false;
  let beside: Beside | null = null;
  /** As both turntables are looked at, where this one stands beside another. */
  let orbit: Orbit | null = null;
  let cutPlace: CutPlace | null = null;
  /** What moves meanwhile was not moved by the builder here. */
  let following = false;
  const tellLook = createLookTeller(host.looked);
  let saveTimer: ReturnType<typeof setTimeout> | undefined;
  let lastStage = '';

  const banner = createBanner(host.cancel);
  const strata = createStrata((layer) => {
    setCut(layer === null ? { by: 'none' } : { by: 'layer', layer });
  });
  const controls = createControls({
    onShow(change) {
      show = { ...show, ...change };
      applyShow();
    },
    onCutKind: (by) => setCut(newCut(by)),
    onPlaneOffset(offset) {
      if (cut.by !== 'none' && cut.by !== 'layer') setCut({ ...cut, offset });
    },
    onLook: (direction) => stage?.look(direction),
    onEdit: () => setEditing(editing?.on() !== true),
    onMakeReady: host.makeReady,
  });
  const copyFigures = plainButton('Copy figures', () => {
    if (view !== null) host.copyText(figureLines(view));
  });
  let poses: PoseChoice | null = null;
  const poseStrip = createPoseStrip({
    onTake: (number) => void takePose(number),
    onClose() {
      stage?.canvas.focus();
      host.closePoses();
    },
  });
  const page = createPage({
    banner: banner.root,
    controls: controls.root,
    strata: strata.root,
    poses: poseStrip.root,
    copyFigures,
  });
  root.replaceChildren(page.root);
  const marks = createFlagMarks(page.picture, pickFlag);
  const picker = createSurfacePicker();
  const stage = tryStage();
  const editing = stage === null ? null : tryEditing(stage);

  function tryStage(): Stage | null {
    try {
      const made = createStage(page.picture, surfaces, {
        onDrawn: () => {
          marks.place(made);
          editing?.marks.place(made);
        },
        onCameraMoved: cameraMoved,
        onRest(detail) {
          restDetail = detail;
          setNote();
        },
        onContext(nowLost) {
          lost = nowLost;
          setNote();
        },
      });
      made.canvas.tabIndex = 0;
      made.canvas.setAttribute('role', 'img');
      made.canvas.addEventListener('keydown', onPictureKey);
      return made;
    } catch {
      page.root.classList.add('without-picture');
      return null;
    }
  }

  function cameraMoved(): void {
    save();
    if (stage !== null) looked({ kind: 'orbit', orbit: stage.orbit() });
  }

  function looked(look: Look): void {
    if (beside === null || following) return;
    keepLook(look);
    tellLook(look);
  }

  function keepLook(look: Look): void {
    if (look.kind === 'orbit') orbit = look.orbit;
    else cutPlace = look.cut;
  }

  function quietly(act: () => void): void {
    const before = following;
    following = true;
    act();
    following = before;
  }

  /** What may frame the part. The look of both is that of the one which leads. */
  function draw(act: () => void): void {
    if (beside?.leads === false) quietly(act);
    else act();
  }

  function tryEditing(on: Stage): Editing {
    const of = (): EditHost => host.edits(view?.part ?? '');
    const made = createEditing({
      picture: page.picture,
      stage: on,
      picker,
      host: {
        tryOpening: (candidate) => of().tryOpening(candidate),
        putOpening: (candidate) => of().putOpening(candidate),
        removeOpening: (id) => of().removeOpening(id),
        trySupport: (candidate) => of().trySupport(candidate),
        putSupport: (candidate) => of().putSupport(candidate),
        removeSupport: (was) => of().removeSupport(was),
        markShow: (outline, facing) => of().markShow(outline, facing),
        putLength: (ends, length) => of().putLength(ends, length),
      },
      tell,
      onLeave: () => setEditing(false),
    });
    page.underPicture.append(made.line);
    return made;
  }

  function tell(text: string): void {
    page.status.textContent = text;
    page.announce(text);
  }

  async function takePose(number: number): Promise<void> {
    if (poses === null) return;
    try {
      tell((await host.takePose(poses.part, number)).said);
    } catch (error) {
      tell(error instanceof Error ? error.message : String(error));
    }
  }

  /** The picture then takes keys for itself, which a screen reader must be told. */
  function setEditing(on: boolean): void {
    if (editing === null || stage === null || view === null || (on && !editable)) return;
    editing.setOn(on);
    controls.setEditing(on);
    stage.canvas.setAttribute('role', on ? 'application' : 'img');
    if (on) stage.canvas.focus();
  }

  function onPictureKey(event: KeyboardEvent): void {
    if (stage === null || view === null || event.ctrlKey || event.metaKey || event.altKey) return;
    if (editing?.on() && editing.key(event)) {
      event.preventDefault();
      return;
    }
    const orbit = orbitForKey(stage.orbit(), event.key, event.shiftKey);
    if (orbit !== null) stage.setOrbit(orbit);
    else if (event.key === 'Home') stage.look('corner');
    else if (event.key === 'PageUp' || event.key === 'PageDown')
      moveCut(event.key === 'PageUp' ? 1 : -1, view);
    else if (event.key === 'Escape') setCut({ by: 'none' });
    else if (event.key === 'e') setEditing(true);
    else return;
    event.preventDefault();
  }

  function moveCut(step: number, { strata: { layers, layerHeight } }: PartView): void {
    const perPage = Math.max(1, Math.round(1 / layerHeight));
    const from = cut.by === 'layer' ? cut.layer : layers - 1;
    setCut({ by: 'layer', layer: clampLayer(from + step * perPage, layers) });
  }

  function newCut(by: Cut['by']): Cut {
    if (view === null || by === 'none') return { by: 'none' };
    if (by === 'layer') return { by, layer: Math.floor(view.strata.layers / 2) };
    const normal = planeNormal(by, stage === null ? [0, -1, 0] : towardCamera(stage.orbit()));
    const [low, high] = extentOf(normal);
    return { by, normal, offset: (low + high) / 2 };
  }

  /** How far the part reaches along a direction; as far as the machine does where nothing is drawn. */
  function extentOf(normal: Vec3): readonly [low: number, high: number] {
    const surface = surfaces.get(scene?.outer ?? null)?.levels.at(-1);
    return scene === null || surface === undefined ? [0, 0] : extentAlong(surface, scene.toPrint, normal);
  }

  function showCut(): void {
    const byPlane = view !== null && cut.by !== 'none' && cut.by !== 'layer';
    controls.setCut(cut, byPlane ? extentOf((cut as { normal: Vec3 }).normal) : null);
  }

  function setCut(next: Cut): void {
    cut = next;
    stage?.setPlane(view === null ? null : cutPlane(cut, view.strata.layerHeight));
    strata.setCut(cut.by === 'layer' ? cut.layer : null);
    showCut();
    const text = statusText();
    page.status.textContent = text;
    // The slider itself reads its value aloud; saying it twice would only be in the way.
    if (!following && document.activeElement?.getAttribute('role') !== 'slider') page.announce(text);
    if (view !== null) looked({ kind: 'cut', cut: cutPlaceOf(cut, view.strata) });
    save();
  }

  function statusText(): string {
    if (view === null) return '';
    if (cut.by === 'none') return 'No cut. Drag on the graph, or use its arrow keys, to cut the part open.';
    if (cut.by === 'layer') {
      const figures = layerValueText(view.strata, cut.layer).split(', ').slice(2).join(', ');
      return `${cutText(view.strata, cut.layer)}: ${figures}`;
    }
    const words = { x: 'Cut from the side', y: 'Cut from the front', facing: 'Cut facing you' };
    return `${words[cut.by]} at ${cut.offset.toFixed(1)} mm`;
  }

  /** Until its surface has come, a part with a key for one counts as hollow. */
  function hasHollow(): boolean {
    if (scene === null || scene.cavity === null) return false;
    return surfaces.get(scene.cavity)?.levels.length !== 0;
  }

  function applyShow(): void {
    stage?.setShow(show);
    marks.setShown(show.flags);
    controls.setShow(show, { hollow: hasHollow(), supports: (view?.supports.length ?? 0) > 0 });
    save();
  }

  function select(number: number | null): void {
    selected = number;
    marks.select(number);
    markSelectedRow(page.findings, number);
    save();
  }

  function pickFlag(flag: Flag): void {
    select(flag.number);
    host.revealFinding(flag.number);
  }

  function pickRow(flag: Flag): void {
    turnToFlag(flag);
    pickFlag(flag);
  }

  function turnToFlag(flag: Flag): void {
    const point = view === null ? null : flagPoint(view, flag);
    if (stage === null || view === null || point === null) return;
    stage.turnTo(orbitToPoint(stage.orbit(), extentOf, point));
  }

  /** The finest there is. */
  function setPicked(): void {
    if (scene === null) return;
    const finest = (key: string | null) => surfaces.get(key)?.levels.at(-1) ?? null;
    picker.setSurfaces(finest(scene.outer), finest(scene.cavity), scene.toPrint);
  }

  function setNote(): void {
    const drawn =
      scene === null ? '' : drawnText(surfaces.get(scene.outer), surfaces.get(scene.cavity), restDetail);
    page.note.textContent = stage === null ? noPicture : lost ? lostPicture : drawn;
  }

  /** Draws a part, measured or not; one that is new starts with the whole of it in sight. */
  function setScene(next: PartScene): void {
    const before = scene;
    scene = next;
    page.content.hidden = false;
    showTitle();
    // Only when they change: those of the next view may have come before its figures.
    if (before === null || surfaceKeys(before).join() !== surfaceKeys(next).join())
      surfaces.keepOnly(surfaceKeys(next));
    const drawn = view?.part === next.part ? view : nothingDrawn;
    const restored = before === null ? (orbit ?? (saved?.part === next.part ? saved.orbit : null)) : null;
    draw(() => stage?.setScene(next, drawn, before?.part !== next.part && restored === null));
    if (restored !== null) quietly(() => stage?.setOrbit(restored));
    setPicked();
    setNote();
  }

  function showView(next: PartView, nowEditable: boolean): void {
    const before = view?.part ?? null;
    const samePart = before === next.part;
    editable = nowEditable;
    if (!samePart || !editable) setEditing(false);
    const restore = before === null && saved?.part === next.part ? saved : null;
    view = next;
    page.setMeasured(true);
    setScene(next);
    marks.setView(next);
    strata.setStrata(next.strata);
    controls.setEditable(editable);
    editing?.setPart(next);
    fillText(next);
    applyShow();
    select(keptFlag(next, restore?.flag ?? (samePart ? selected : null)));
    const followed = cutPlace === null ? null : cutAtPlace(cutPlace, next.strata);
    quietly(() => setCut(fittingCut(followed ?? restore?.cut ?? (samePart ? cut : { by: 'none' }), next)));
  }

  function showTitle(): void {
    if (scene === null) return;
    const title = beside?.title ?? scene.part;
    page.title.textContent = title;
    stage?.canvas.setAttribute('aria-label', pictureText(title));
  }

  /** The picture alone, while the rest is being computed. */
  function showScene(next: PartScene): void {
    page.setMeasured(false);
    stage?.setPlane(null);
    setScene(next);
  }

  function fillText(next: PartView): void {
    const layersOpen = page.tables.querySelector('details:last-of-type')?.hasAttribute('open') ?? false;
    page.findings.replaceChildren(flagList(next.flags, pickRow));
    const pick = editable ? ({ id }: OpeningView) => host.revealOpening(id) : null;
    page.openings.replaceChildren(openingList(next.openings, pick));
    page.figures.replaceChildren(figureList(next.figures));
    page.tables.replaceChildren(strataTables(next.strata, layersOpen));
  }

  function dropView(): void {
    setEditing(false);
    editing?.setPart(null);
    view = null;
    scene = null;
    surfaces.keepOnly([]);
    page.content.hidden = true;
    stage?.setScene(null, nothingDrawn, false);
    marks.setView(null);
    strata.setStrata(null);
  }

  function save(): void {
    clearTimeout(saveTimer);
    saveTimer = setTimeout(saveNow, saveDelay);
  }

  function saveNow(): void {
    clearTimeout(saveTimer);
    if (view === null) return;
    host.saveState({ part: view.part, orbit: stage?.orbit() ?? null, cut, show, flag: selected });
  }

  function announceWorking(state: Extract<ViewState, { kind: 'working' }>): void {
    const stageName = `${state.part}: ${state.stage}`;
    if (stageName !== lastStage) page.announce(workingText(state));
    lastStage = stageName;
  }

  setNote();
  // A tab that is put away may be thrown away before the timer ends.
  document.addEventListener('visibilitychange', saveNow);
  return {
    show(state) {
      if (state.kind === 'view') {
        banner.show(null);
        lastStage = '';
        showView(state.view, state.editable);
        return;
      }
      // A new state of the part in sight keeps its picture until the next one is there.
      if (scene !== null && (state.kind === 'empty' || state.part !== scene.part)) dropView();
      banner.show(state);
      if (state.kind !== 'working') return;
      announceWorking(state);
      if (state.scene !== null && view === null) showScene(state.scene);
    },
    addSurface(piece) {
      if (!surfaces.add(piece) || scene === null || !surfaceKeys(scene).includes(piece.key)) return;
      draw(() => stage?.surfacesCame());
      setPicked();
      setNote();
      if (view === null) return;
      controls.setShow(show, { hollow: hasHollow(), supports: (view?.supports.length ?? 0) > 0 });
      showCut();
    },
    revealFlag(number) {
      const flag = view?.flags.find((candidate) => candidate.number === number);
      if (view === null || flag === undefined) return;
      select(number);
      if (flag.layer !== null) setCut({ by: 'layer', layer: clampLayer(flag.layer, view.strata.layers) });
      turnToFlag(flag);
      page.announce(flagText(flag));
    },
    showPoses(choice, focus) {
      poses = choice;
      poseStrip.show(choice);
      if (focus) poseStrip.focus();
    },
    cutAtLayer(layer) {
      if (view === null) return;
      setCut(layer === null ? { by: 'none' } : { by: 'layer', layer: clampLayer(layer, view.strata.layers) });
    },
    standBeside(next) {
      beside = next;
      page.changes.replaceChildren(changeList(next.changes));
      page.changes.hidden = false;
      showTitle();
    },
    follow(look) {
      keepLook(look);
      quietly(() => {
        if (look.kind === 'orbit' && scene !== null) stage?.setOrbit(look.orbit);
        if (look.kind === 'cut' && view !== null) setCut(cutAtPlace(look.cut, view.strata));
      });
    },
    setTheme(theme) {
      stage?.setTheme(theme);
      strata.setTheme(theme);
    },
    say: tell,
    dispose() {
      saveNow();
      document.removeEventListener('visibilitychange', saveNow);
      strata.dispose();
      editing?.dispose();
      stage?.dispose();
    },
  };
}

const nothingDrawn = emptyShape;

const noPicture =
  'This window can draw no 3D picture (no WebGL). The graph, the findings and the figures below are complete without it.';

const lostPicture =
  'The 3D picture was lost by the graphics driver. It comes back by itself; if not, reopen this view.';

function pictureText(part: string): string {
  return `${part} in 3D. Arrow keys turn it, plus and minus zoom, Shift with arrow keys moves it, Page Up and Page Down move the cut, Home shows all of it, E edits its openings and supports.`;
}

function keptFlag(view: PartView, number: number | null): number | null {
  return view.flags.some((flag) => flag.number === number) ? number : null;
}

function fittingCut(cut: Cut, { strata }: PartView): Cut {
  return cut.by === 'layer' ? { by: 'layer', layer: clampLayer(Math.round(cut.layer), strata.layers) } : cut;
}

function towardCamera({ azimuth, elevation }: Orbit): Vec3 {
  const flat = Math.cos(elevation);
  return [flat * Math.cos(azimuth), flat * Math.sin(azimuth), Math.sin(elevation)];
}

/** Looks at the point from its own side of the part and from above, where a cut layer lies open. */
function orbitToPoint(
  now: Orbit,
  extentOf: (normal: Vec3) => readonly [low: number, high: number],
  point: Vec3,
): Orbit {
  const [lowX, highX] = extentOf([1, 0, 0]);
  const [lowY, highY] = extentOf([0, 1, 0]);
  const [x, y] = [point[0] - (lowX + highX) / 2, point[1] - (lowY + highY) / 2];
  const central = Math.hypot(x, y) < 0.05 * Math.max(highX - lowX, highY - lowY);
  return { ...now, target: point, azimuth: central ? now.azimuth : Math.atan2(y, x), elevation: 0.6 };
}
