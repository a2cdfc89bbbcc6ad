import type { Vec3 } from '../../src/core/vector.ts';
import type { Flag, PartView } from '../../src/protocol/partView.ts';
import type { ViewState } from '../../src/protocol/viewMessages.ts';
import type { Theme } from '../shared/theme.ts';
import { clampLayer } from '../strata/layerAxis.ts';
import { createStrata } from '../strata/strata.ts';
import { strataTables } from '../strata/strataTable.ts';
import { cutText, layerValueText } from '../strata/strataTexts.ts';
import { createBanner, workingText } from './banner.ts';
import { createControls, plainButton } from './controls.ts';
import { type Cut, extentAlong, planeNormal } from './cut.ts';
import { createFlagMarks, flagPoint } from './flagMarks.ts';
import { flagText } from './flagOrder.ts';
import { figureLines, figureList, flagList, markSelectedRow, openingList } from './lists.ts';
import { type Orbit, orbitForKey } from './orbit.ts';
import { createPage } from './page.ts';
import type { Show } from './partModel.ts';
import { readSavedState, type SavedState } from './savedState.ts';
import { createStage, type Stage } from './stage.ts';

export interface TurntableHost {
  readonly savedState: unknown;
  saveState(state: SavedState): void;
  revealFinding(number: number): void;
  revealOpening(id: string): void;
  makeReady(): void;
  cancel(): void;
  copyText(text: string): void;
}

export interface Turntable {
  show(state: ViewState): void;
  revealFlag(number: number): void;
  cutAtLayer(layer: number | null): void;
  setTheme(theme: Theme): void;
  say(text: string): void;
  dispose(): void;
}

const saveDelay = 200;

/** The page that shows one part: owns which part, where it is cut, what is shown and selected. */
export function createTurntable(root: HTMLElement, host: TurntableHost): Turntable {
  const saved = readSavedState(host.savedState);
  let view: PartView | null = null;
  let cut: Cut = { by: 'none' };
  let show: Show = saved?.show ?? { outside: true, seeThrough: false, hollow: true, flags: true };
  let selected: number | null = null;
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
    onMakeReady: host.makeReady,
  });
  const copyFigures = plainButton('Copy figures', () => {
    if (view !== null) host.copyText(figureLines(view));
  });
  const page = createPage({ banner: banner.root, controls: controls.root, strata: strata.root, copyFigures });
  root.replaceChildren(page.root);
  const marks = createFlagMarks(page.picture, pickFlag);
  const stage = tryStage();

  function tryStage(): Stage | null {
    try {
      const made = createStage(page.picture, {
        onDrawn: () => marks.place(made),
        onCameraMoved: save,
        onContext(lost) {
          setNote(
            lost
              ? 'The 3D picture was lost by the graphics driver. It comes back by itself; if not, reopen this view.'
              : null,
          );
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

  function onPictureKey(event: KeyboardEvent): void {
    if (stage === null || view === null || event.ctrlKey || event.metaKey || event.altKey) return;
    const orbit = orbitForKey(stage.orbit(), event.key, event.shiftKey);
    if (orbit !== null) stage.setOrbit(orbit);
    else if (event.key === 'Home') stage.look('corner');
    else if (event.key === 'PageUp' || event.key === 'PageDown')
      moveCut(event.key === 'PageUp' ? 1 : -1, view);
    else if (event.key === 'Escape') setCut({ by: 'none' });
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
    const [low, high] = extentAlong(view.outer, normal);
    return { by, normal, offset: (low + high) / 2 };
  }

  function setCut(next: Cut): void {
    cut = next;
    stage?.setCut(cut);
    strata.setCut(cut.by === 'layer' ? cut.layer : null);
    const byPlane = view !== null && cut.by !== 'none' && cut.by !== 'layer';
    controls.setCut(cut, byPlane ? extentAlong(view!.outer, (cut as { normal: Vec3 }).normal) : null);
    const text = statusText();
    page.status.textContent = text;
    // The slider itself reads its value aloud; saying it twice would only be in the way.
    if (document.activeElement?.getAttribute('role') !== 'slider') page.announce(text);
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

  function applyShow(): void {
    stage?.setShow(show);
    marks.setShown(show.flags);
    controls.setShow(show, view?.cavity !== null);
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
    stage.turnTo(orbitToPoint(stage.orbit(), view, point));
  }

  function setNote(text: string | null): void {
    const drawn = view === null ? '' : drawnText(view);
    page.note.textContent = stage === null ? noPicture : (text ?? drawn);
  }

  function showView(next: PartView, editable: boolean): void {
    const before = view?.part ?? null;
    const samePart = before === next.part;
    const restore = before === null && saved?.part === next.part ? saved : null;
    view = next;
    page.content.hidden = false;
    page.title.textContent = next.part;
    stage?.canvas.setAttribute('aria-label', pictureText(next.part));
    stage?.setView(next, !samePart);
    if (restore !== null && restore.orbit !== null) stage?.setOrbit(restore.orbit);
    marks.setView(next);
    strata.setStrata(next.strata);
    controls.setEditable(editable);
    fillText(next);
    applyShow();
    select(keptFlag(next, restore?.flag ?? (samePart ? selected : null)));
    setCut(fittingCut(restore?.cut ?? (samePart ? cut : { by: 'none' }), next));
    setNote(null);
  }

  function fillText(next: PartView): void {
    const layersOpen = page.tables.querySelector('details:last-of-type')?.hasAttribute('open') ?? false;
    page.findings.replaceChildren(flagList(next.flags, pickRow));
    page.openings.replaceChildren(openingList(next.openings, ({ id }) => host.revealOpening(id)));
    page.figures.replaceChildren(figureList(next.figures));
    page.tables.replaceChildren(strataTables(next.strata, layersOpen));
  }

  function dropView(): void {
    view = null;
    page.content.hidden = true;
    stage?.setView(null, false);
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

  setNote(null);
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
      if (view !== null && (state.kind === 'empty' || state.part !== view.part)) dropView();
      banner.show(state);
      if (state.kind === 'working') announceWorking(state);
    },
    revealFlag(number) {
      const flag = view?.flags.find((candidate) => candidate.number === number);
      if (view === null || flag === undefined) return;
      select(number);
      if (flag.layer !== null) setCut({ by: 'layer', layer: clampLayer(flag.layer, view.strata.layers) });
      turnToFlag(flag);
      page.announce(flagText(flag));
    },
    cutAtLayer(layer) {
      if (view === null) return;
      setCut(layer === null ? { by: 'none' } : { by: 'layer', layer: clampLayer(layer, view.strata.layers) });
    },
    setTheme(theme) {
      stage?.setTheme(theme);
      strata.setTheme(theme);
    },
    say: (text) => {
      page.status.textContent = text;
      page.announce(text);
    },
    dispose() {
      saveNow();
      document.removeEventListener('visibilitychange', saveNow);
      strata.dispose();
      stage?.dispose();
    },
  };
}

const noPicture =
  'This window can draw no 3D picture (no WebGL). The graph, the findings and the figures below are complete without it.';

function pictureText(part: string): string {
  return `${part} in 3D. Arrow keys turn it, plus and minus zoom, Shift with arrow keys moves it, Page Up and Page Down move the cut, Home shows all of it.`;
}

function drawnText({ outer, cavity }: PartView): string {
  const drawn = (outer.triangles.length + (cavity?.triangles.length ?? 0)) / 3;
  const full = outer.fullTriangles + (cavity?.fullTriangles ?? 0);
  const words = (count: number): string => count.toLocaleString('en');
  return full > drawn ? `Drawn with ${words(drawn)} of ${words(full)} triangles` : '';
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
function orbitToPoint(now: Orbit, { outer }: PartView, point: Vec3): Orbit {
  const [lowX, highX] = extentAlong(outer, [1, 0, 0]);
  const [lowY, highY] = extentAlong(outer, [0, 1, 0]);
  const [x, y] = [point[0] - (lowX + highX) / 2, point[1] - (lowY + highY) / 2];
  const central = Math.hypot(x, y) < 0.05 * Math.max(highX - lowX, highY - lowY);
  return { ...now, target: point, azimuth: central ? now.azimuth : Math.atan2(y, x), elevation: 0.6 };
}
