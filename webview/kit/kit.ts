import type { KitPicture, KitViewState } from '../../src/protocol/kitMessages.ts';
import type { SurfacePiece } from '../../src/protocol/surfacePiece.ts';
import { element } from '../shared/element.ts';
import type { Theme } from '../shared/theme.ts';
import { type Direction, orbitForKey } from '../turntable/orbit.ts';
import { createOrbitCanvas, type OrbitCanvas } from '../turntable/orbitCanvas.ts';
import { openSurfaceStore } from '../turntable/surfaceStore.ts';
import { type ColourBy, legendOf, looksOf } from './colouring.ts';
import { createFigure } from './figure.ts';
import { createKitControls } from './kitControls.ts';
import { legend } from './legend.ts';
import { createNameMarks } from './nameMarks.ts';
import { partTable, totalsText } from './partTable.ts';
import { readSavedKitState, type SavedKitState } from './savedState.ts';

export interface KitHost {
  readonly savedState: unknown;
  saveState(state: SavedKitState): void;
  goToPart(part: string): void;
  showPart(part: string): void;
}

export interface KitPage {
  show(state: KitViewState): void;
  addSurface(piece: SurfacePiece): void;
  setTheme(theme: Theme): void;
  say(text: string): void;
  dispose(): void;
}

const saveDelay = 200;
/** A pointer that moved less between press and release has clicked. */
const clickPixels = 4;
/** Of the figure's own reach: as far as it can be pulled apart. */
const mostApart = 2;

/** The page of the whole kit: owns how it is coloured, how far it is pulled apart, and what is pointed at. */
export function createKit(root: HTMLElement, host: KitHost): KitPage {
  const saved = readSavedKitState(host.savedState);
  const surfaces = openSurfaceStore();
  const figure = createFigure();
  let kit: KitPicture | null = null;
  let theme: Theme | null = null;
  let by: ColourBy = saved?.by ?? 'state';
  let names = saved?.names ?? true;
  /** As the builder set it; no more than the parts allow is drawn. */
  let apartMm = saved?.apartMm ?? 0;
  let hovered: string | null = null;
  let focused: string | null = null;
  /** The part that is told of: the pointer goes before the focus. */
  let picked: string | null = null;
  let toFrame = saved?.orbit == null;
  let toPlace = saved?.orbit ?? null;
  let saveTimer: ReturnType<typeof setTimeout> | undefined;

  const controls = createKitControls({
    onBy(next) {
      by = next;
      drawAll();
      save();
    },
    onNames(on) {
      names = on;
      drawAll();
      save();
    },
    onApart: pullApart,
    onLook(direction) {
      toFrame = false;
      look(direction);
    },
  });
  const hint = element('p', { class: 'hint', hidden: true });
  const title = element('h1');
  const totals = element('p', { class: 'status' });
  const note = element('p', { class: 'note' });
  const picture = element('div', { class: 'picture' }, note);
  const legendRow = element('div', { class: 'legend' });
  const first = element('div', { class: 'first' }, title, totals, picture, controls.root, legendRow);
  const table = element('div', { class: 'scrolled' });
  const section = element('section', {}, element('h2', {}, 'Parts'), table);
  const content = element('div', { class: 'content', hidden: true }, first, section);
  const live = element('p', { class: 'read-only', role: 'status' });
  root.replaceChildren(element('main', {}, hint, content, live));
  const marks = createNameMarks(picture);
  const view = tryView();

  function tryView(): OrbitCanvas | null {
    try {
      const made = createOrbitCanvas(picture, {
        prepare: (_, mmPerPixel) => figure.prepare(mmPerPixel),
        triangles: figure.triangles,
        depth: () => 4 * (figure.ball()?.radius ?? 1),
        onDrawn: () => marks.place(made, figure.middle, picked),
        onCameraMoved: save,
        onRest: () => {},
        onContext(lost) {
          note.textContent = lost ? 'The graphics card has stopped; the picture comes back with it.' : '';
        },
      });
      made.scene.add(figure.group);
      made.canvas.tabIndex = 0;
      made.canvas.setAttribute('role', 'img');
      listen(made);
      return made;
    } catch {
      content.parentElement?.classList.add('without-picture');
      note.textContent = 'There is no 3D here (WebGL is off). The table says the same in words.';
      return null;
    }
  }

  function listen({ canvas }: OrbitCanvas): void {
    let pressed: { readonly x: number; readonly y: number } | null = null;
    for (const type of ['pointerdown', 'wheel', 'keydown']) {
      canvas.addEventListener(type, () => {
        toFrame = false;
      });
    }
    canvas.addEventListener('keydown', onPictureKey);
    canvas.addEventListener('pointerdown', ({ offsetX: x, offsetY: y, button }) => {
      pressed = button === 0 ? { x, y } : null;
    });
    canvas.addEventListener('pointermove', ({ offsetX, offsetY, buttons }) => {
      if (buttons === 0) point(partAt(offsetX, offsetY));
    });
    canvas.addEventListener('pointerleave', () => point(null));
    canvas.addEventListener('pointerup', ({ offsetX, offsetY }) => {
      const still = pressed !== null && Math.hypot(offsetX - pressed.x, offsetY - pressed.y) < clickPixels;
      pressed = null;
      const part = still ? partAt(offsetX, offsetY) : null;
      if (part !== null) host.goToPart(part);
    });
  }

  function partAt(x: number, y: number): string | null {
    if (view === null) return null;
    const { from, direction } = view.sight(x, y);
    return figure.along(from, direction);
  }

  function onPictureKey(event: KeyboardEvent): void {
    if (view === null || event.ctrlKey || event.metaKey || event.altKey) return;
    const orbit = orbitForKey(view.orbit(), event.key, event.shiftKey);
    if (orbit !== null) view.place(orbit);
    else if (event.key === 'Home') look('corner');
    else return;
    event.preventDefault();
  }

  function look(direction: Direction): void {
    const ball = figure.ball();
    if (view !== null && ball !== null) view.turnTo(view.framing(ball, direction));
  }

  /** The camera stays where it looks from, and far enough away. */
  function pullApart(mm: number): void {
    const before = figure.ball()?.radius ?? 1;
    toFrame = false;
    apartMm = mm;
    figure.setApart(mm);
    controls.setApart(apartMm, mostApart * Math.ceil(figure.reach()));
    if (view !== null) {
      const orbit = view.orbit();
      setReach();
      view.place({ ...orbit, distance: (orbit.distance * (figure.ball()?.radius ?? 1)) / before });
    }
    save();
  }

  function setReach(): void {
    const ball = figure.ball();
    if (ball !== null) view?.setReach(ball.radius / 100, 20 * ball.radius);
  }

  function point(part: string | null): void {
    hovered = part;
    pick(hovered ?? focused);
  }

  function focus(part: string | null): void {
    focused = part;
    pick(hovered ?? focused);
  }

  function pick(part: string | null): void {
    if (part === picked) return;
    picked = part;
    figure.setPicked(part);
    markRow();
    const told = kit?.parts.find(({ name }) => name === part);
    note.textContent = told === undefined ? '' : `${told.name}: ${told.words}`;
    view?.canvas.classList.toggle('over', hovered !== null);
    view?.changed(false);
  }

  function markRow(): void {
    for (const row of table.querySelectorAll('[data-part]'))
      row.classList.toggle('selected', row.getAttribute('data-part') === picked);
  }

  function drawParts(): void {
    if (kit === null || theme === null) return;
    const looks = looksOf(kit.parts, by);
    const drawn = kit.parts.flatMap(({ name, key }) => {
      const surface = surfaces.get(key)?.levels.at(-1);
      return surface === undefined ? [] : [{ name, surface, look: looks.get(name)! }];
    });
    figure.setParts(drawn);
    const most = mostApart * Math.ceil(figure.reach());
    // Surfaces come one by one: what is too far for the first of them is kept for the rest.
    const drawnApart = Math.min(apartMm, most);
    figure.setApart(drawnApart);
    marks.set(names ? drawn.map(({ name }) => name) : []);
    controls.setApart(drawnApart, most);
    view?.canvas.setAttribute('aria-label', pictureText(kit, drawn.length));
    frame(drawn.length);
    view?.changed(false);
  }

  function drawWords(): void {
    if (kit === null || theme === null) return;
    title.textContent = kit.name;
    totals.textContent = totalsText(kit);
    controls.setBy(by);
    controls.setNames(names);
    legendRow.replaceChildren(...legend(legendOf(kit.parts, by), theme));
    drawTable(kit, theme, looksOf(kit.parts, by));
  }

  function drawAll(): void {
    drawParts();
    drawWords();
  }

  /** The whole figure in sight, as long as the builder has not looked elsewhere by himself. */
  function frame(parts: number): void {
    const ball = figure.ball();
    if (view === null || ball === null) return;
    setReach();
    view.resize();
    if (toPlace !== null) view.place(toPlace);
    else if (toFrame) view.place(view.framing(ball, 'corner'));
    toPlace = null;
    toFrame &&= parts < (kit?.parts.filter(({ problem }) => problem === null).length ?? 0);
  }

  /** The focus stays on the row and the button that had it. */
  function drawTable(of: KitPicture, drawnIn: Theme, looks: ReturnType<typeof looksOf>): void {
    const active = document.activeElement?.closest('[data-part]');
    const name = active?.getAttribute('data-part');
    const at = active
      ? [...active.querySelectorAll('button')].indexOf(document.activeElement as HTMLButtonElement)
      : -1;
    table.replaceChildren(
      partTable(of, looks, drawnIn, {
        onGoTo: host.goToPart,
        onTurntable: host.showPart,
        onPoint: point,
        onFocus: focus,
      }),
    );
    markRow();
    const row = [...table.querySelectorAll('[data-part]')].find(
      (one) => one.getAttribute('data-part') === name,
    );
    if (name !== undefined && name !== null) row?.querySelectorAll('button')[at]?.focus();
  }

  function save(): void {
    clearTimeout(saveTimer);
    saveTimer = setTimeout(
      () => host.saveState({ orbit: view === null || toFrame ? null : view.orbit(), by, apartMm, names }),
      saveDelay,
    );
  }

  return {
    show(state) {
      hint.hidden = state.kind === 'kit';
      content.hidden = state.kind !== 'kit';
      kit = state.kind === 'kit' ? state.kit : null;
      if (state.kind === 'empty') hint.textContent = state.hint;
      if (kit === null) return;
      surfaces.keepOnly(kit.parts.flatMap(({ key }) => key ?? []));
      drawAll();
    },
    addSurface(piece) {
      if (surfaces.add(piece)) drawParts();
    },
    setTheme(next) {
      theme = next;
      figure.setTheme(next);
      view?.setBackground(next.background);
      drawAll();
    },
    say(text) {
      live.textContent = text;
    },
    dispose() {
      clearTimeout(saveTimer);
      figure.dispose();
      view?.dispose();
    },
  };
}

function pictureText({ name, parts }: KitPicture, drawn: number): string {
  return `${name}, ${drawn} of ${parts.length} parts drawn. Arrows turn, plus and minus come closer and go away. The table says the same in words.`;
}
