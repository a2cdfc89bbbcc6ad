import { capital, openingName } from '../../src/core/kit/rules/figures.ts';
import type { OpeningId } from '../../src/core/openings/opening.ts';
import { add, dot, norm, normalized, scale, subtract, type Vec3 } from '../../src/core/vector.ts';
import type { OpeningCandidate, OpeningTrial } from '../../src/protocol/openingTrial.ts';
import type { OpeningView, TipView } from '../../src/protocol/partView.ts';
import type { SupportCandidate, SupportTrial } from '../../src/protocol/supportTrial.ts';
import type { Done, TypedLength } from '../../src/protocol/viewMessages.ts';
import { createEditLine, type EditTool, howTo } from './editLine.ts';
import { createEditMarks, type EditMarks } from './editMarks.ts';
import {
  type Held,
  heldOpening,
  heldSupport,
  isHeldByHand,
  isSameHeld,
  movedTo,
  newHeld,
  openingCandidate,
  sized,
  supportCandidate,
} from './held.ts';
import { mouthRing } from './mouthRing.ts';
import type { RestingMouth } from './restingRims.ts';
import type { Stage } from './stage.ts';
import { supportLines } from './supportText.ts';
import type { Reach, SurfacePicker, SurfacePoint } from './surfacePicker.ts';
import { createTrials } from './trials.ts';
import { trialLines } from './trialText.ts';

/** What a gesture asks of the host. A rejected call says why in a sentence. */
export interface EditHost {
  tryOpening(candidate: OpeningCandidate): Promise<OpeningTrial>;
  putOpening(candidate: OpeningCandidate): Promise<Done>;
  removeOpening(id: OpeningId): Promise<Done>;
  trySupport(candidate: SupportCandidate): Promise<SupportTrial>;
  putSupport(candidate: SupportCandidate): Promise<Done>;
  removeSupport(was: NonNullable<SupportCandidate['was']>): Promise<Done>;
  markShow(outline: readonly Vec3[], facing: Vec3): Promise<Done>;
  putLength(ends: readonly [Vec3, Vec3], length: TypedLength): Promise<Done>;
}

export interface EditingParts {
  readonly picture: HTMLElement;
  readonly stage: Stage;
  readonly picker: SurfacePicker;
  readonly host: EditHost;
  /** Shows a sentence, and says it to a screen reader. */
  tell(text: string): void;
  onLeave(): void;
}

/** Placing, moving, resizing and removing openings and supports by pointer and keys, drawing outlines of the show side, and measuring. */
export interface Editing {
  readonly line: HTMLElement;
  readonly marks: EditMarks;
  on(): boolean;
  setOn(on: boolean): void;
  /** The part's openings and supports as they now are; null = there is no part. */
  setPart(part: EditedPart | null): void;
  /** True when the key was used. */
  key(event: KeyboardEvent): boolean;
  dispose(): void;
}

export interface EditedPart {
  readonly openings: readonly OpeningView[];
  readonly tips: readonly TipView[];
}

/** A press that moves no further than this, px, is a click; nearer than that to a rim means the rim. */
const clickPx = 4;
const rimPx = 6;
const gripPx = 9;
const closePx = 10;
const stepMm = 1;
const fineStepMm = 0.2;
const sizeStepMm = 0.5;
const fineSizeStepMm = 0.1;
/** Of a support's tip. */
const tipStepMm = 0.1;
const fineTipStepMm = 0.05;
/** A support touches what faces down; flatter than this from upright it has an underside, as the cosine. */
const leastDown = 0.05;
/** From where tips are looked at, radians above the horizon. */
const tipElevation = -0.4;
/** A pointer that only passes by asks nothing. */
const hoverMs = 80;
/** What a written one has become lies within this of where it was put. */
const sameMm = 3;

interface Grab {
  readonly pointer: number;
  readonly what: 'place' | 'size';
  readonly before: Held;
  /** Of the mouth's centre, where the pointer has hold of it, px. */
  readonly offset: readonly [number, number];
}

export function createEditing({ picture, stage, picker, host, tell, onLeave }: EditingParts): Editing {
  const marks = createEditMarks(picture);
  const line = createEditLine({ onTool: setTool, onDiameter: setDiameter, onLength: putLength });
  let on = false;
  let part: EditedPart = { openings: [], tips: [] };
  let tool: EditTool = 'vent';
  /** Of the next opening, and of the next support's tip. */
  const diameters = { opening: 6, support: 0.6 };
  let held: Held | null = null;
  let grab: Grab | null = null;
  let press: { readonly x: number; readonly y: number } | null = null;
  let corners: readonly SurfacePoint[] = [];
  /** Where the keys stand on the surface while an outline is drawn, or a length measured. */
  let cursor: SurfacePoint | null = null;
  let written: Held | null = null;
  let hoverTimer: ReturnType<typeof setTimeout> | undefined;

  const trials = createTrials(
    async (of: Held): Promise<readonly string[]> =>
      of.kind === 'support'
        ? supportLines(await host.trySupport(supportCandidate(of)))
        : trialLines(await host.tryOpening(openingCandidate(of))),
    (of, lines) => {
      if (held !== null && isSameHeld(of, held)) showTrial(held, lines);
    },
    (error) => tell(sentence(error)),
  );

  const nextDiameter = (): number => diameters[tool === 'support' ? 'support' : 'opening'];

  /** What the tool in use takes hold of. */
  function things(): Held[] {
    return tool === 'support'
      ? part.tips.map(heldSupport)
      : part.openings.filter(isHeldByHand).map(heldOpening);
  }

  function showTrial(of: Held, lines: readonly string[]): void {
    const title = titleOf(of);
    marks.setLabel([title, ...lines], of.at);
    redraw();
    tell([title, ...lines].join(', '));
  }

  function redraw(): void {
    stage.setRims(
      on
        ? things()
            .filter(({ id }) => id !== held?.id)
            .map(mouthOf)
        : [],
    );
    marks.setMouth(on && held !== null ? mouthOf(held) : null);
    marks.setLine([...corners, ...(cursor === null ? [] : [cursor])].map(({ at }) => at));
    if (held === null) marks.setLabel([], null);
    marks.place(stage);
  }

  function take(next: Held | null): void {
    held = next;
    trials.drop();
    if (next !== null) {
      diameters[next.kind === 'support' ? 'support' : 'opening'] = next.diameter;
      line.set(tool, nextDiameter());
      marks.setLabel([titleOf(next)], next.at);
    }
    redraw();
  }

  /** In hand, and asked about. */
  function attempt(next: Held): void {
    take(next);
    trials.ask(next);
  }

  function setTool(next: EditTool): void {
    const staysHeld = held?.id != null && (held.kind === 'support') === (next === 'support');
    tool = next;
    corners = [];
    cursor = null;
    take(staysHeld ? held : null);
    line.set(tool, nextDiameter());
    tell(`${toolTitles[next]} ${howTo(next)}`);
  }

  function setDiameter(next: number): void {
    if (held !== null) attempt(sized(held, next, 0.01));
    else diameters[tool === 'support' ? 'support' : 'opening'] = next;
    line.set(tool, held?.diameter ?? nextDiameter());
  }

  async function write(of: Held): Promise<void> {
    written = of;
    trials.drop();
    clearTimeout(hoverTimer);
    try {
      const done =
        of.kind === 'support' ? host.putSupport(supportCandidate(of)) : host.putOpening(openingCandidate(of));
      tell((await done).said);
    } catch (error) {
      written = null;
      take(original(of));
      tell(sentence(error));
    }
  }

  /** As the part has it; null for one that is new. A new plan numbers its supports anew: there the place tells. */
  function original(of: Held): Held | null {
    if (of.kind === 'support') return of.was && (nearestTo(things(), { ...of, at: of.was.at }) ?? null);
    return things().find(({ id, kind }) => id === of.id && kind === of.kind) ?? null;
  }

  async function remove(of: Held): Promise<void> {
    // Pressed twice it would take the next one of the list.
    take(null);
    try {
      if (of.kind === 'support') {
        if (of.was !== null) tell((await host.removeSupport(of.was)).said);
      } else if (of.id !== null) tell((await host.removeOpening(of.id)).said);
    } catch (error) {
      take(original(of));
      tell(sentence(error));
    }
  }

  async function closeOutline(): Promise<void> {
    if (corners.length < 3) return tell('An outline needs at least three points.');
    const outline = corners.map(({ at }) => at);
    const sum = corners.reduce<Vec3>((total, { facing }) => add(total, facing), [0, 0, 0]);
    corners = [];
    cursor = null;
    redraw();
    if (norm(sum) === 0) return tell('The points face all ways at once: draw a smaller outline.');
    try {
      tell((await host.markShow(outline, normalized(sum))).said);
    } catch (error) {
      tell(sentence(error));
    }
  }

  async function putLength(length: TypedLength): Promise<void> {
    const [a, b] = corners;
    if (a === undefined || b === undefined) return tell('A length has two ends: click both first.');
    corners = [];
    cursor = null;
    redraw();
    stage.canvas.focus();
    try {
      tell((await host.putLength([a.at, b.at], length)).said);
    } catch (error) {
      tell(sentence(error));
    }
  }

  /** Corners of an outline, or ends of a length. */
  const drawsPoints = (): boolean => tool === 'show' || tool === 'length';

  function pick(x: number, y: number): SurfacePoint | null {
    const { from, direction } = stage.sight(x, y);
    return picker.along(from, direction, stage.plane(), reach());
  }

  /** A support may stand inside, where a cut lets one see. */
  function reach(): Reach {
    return tool === 'support' ? 'inside too' : 'outside';
  }

  /** Where the tool can put something. */
  function placeable(point: SurfacePoint | null): SurfacePoint | null {
    return point !== null && tool === 'support' && point.facing[2] > -leastDown ? null : point;
  }

  function inPicture(event: PointerEvent): { readonly x: number; readonly y: number } {
    const { left, top } = picture.getBoundingClientRect();
    return { x: event.clientX - left, y: event.clientY - top };
  }

  /** The mouth under the pointer, the one in hand first, and whether its rim or itself is meant. */
  function mouthAt(x: number, y: number): { readonly of: Held; readonly what: Grab['what'] } | null {
    const all = things().map((one) => (one.id === held?.id ? held! : one));
    const sorted = [...all].sort((a, b) => Number(b === held) - Number(a === held));
    for (const of of sorted) {
      const { right, from } = stage.eye();
      if (dot(of.facing, subtract(from, of.at)) <= 0) continue;
      const centre = stage.project(of.at);
      const rim = mouthRing(of, of.diameter / 2, right, 24).flatMap((point) => stage.project(point) ?? []);
      if (centre === null || rim.length < 24) continue;
      const away = Math.hypot(x - centre.x, y - centre.y);
      const toRim = Math.min(...rim.map((point) => Math.hypot(x - point.x, y - point.y)));
      const reach = Math.max(...rim.map((point) => Math.hypot(point.x - centre.x, point.y - centre.y)));
      const grip = of === held && Math.hypot(x - rim[0]!.x, y - rim[0]!.y) <= gripPx;
      if (grip || (toRim <= rimPx && reach > 2.5 * rimPx)) return { of, what: 'size' };
      if (away <= Math.max(reach, gripPx)) return { of, what: 'place' };
    }
    return null;
  }

  function onDown(event: PointerEvent): void {
    if (!on || event.button !== 0 || event.target !== stage.canvas) return;
    const { x, y } = inPicture(event);
    const hit = drawsPoints() ? null : mouthAt(x, y);
    if (hit === null) {
      press = { x, y };
      return;
    }
    // Before the camera takes it for a turn.
    event.stopPropagation();
    event.preventDefault();
    stage.canvas.focus();
    picture.setPointerCapture(event.pointerId);
    const centre = stage.project(hit.of.at)!;
    grab = {
      pointer: event.pointerId,
      what: hit.what,
      before: hit.of,
      offset: [centre.x - x, centre.y - y],
    };
    take(hit.of);
  }

  function onMove(event: PointerEvent): void {
    if (!on) return;
    const { x, y } = inPicture(event);
    if (grab !== null) {
      if (event.pointerId === grab.pointer) drag(grab, x, y);
      return;
    }
    clearTimeout(hoverTimer);
    if (event.buttons !== 0 || event.target !== stage.canvas || drawsPoints()) return;
    const hit = mouthAt(x, y);
    stage.canvas.style.cursor = hit === null ? 'crosshair' : hit.what === 'size' ? 'ew-resize' : 'move';
    // Until what was written has become one of the part's, nothing else is pointed at.
    if (held?.id != null || hit !== null || written !== null) return;
    hoverTimer = setTimeout(() => {
      const point = placeable(pick(x, y));
      if (point !== null && tool !== 'show' && tool !== 'length')
        attempt(newHeld(tool, point, nextDiameter()));
    }, hoverMs);
  }

  function drag({ what, before, offset }: Grab, x: number, y: number): void {
    if (what === 'place') {
      const point = placeable(pick(x + offset[0], y + offset[1]));
      if (point !== null) attempt(movedTo(before, point));
      return;
    }
    const { from, direction } = stage.sight(x, y);
    const slope = dot(direction, before.facing);
    if (Math.abs(slope) < 0.1) return;
    const share = dot(subtract(before.at, from), before.facing) / slope;
    const wide = norm(subtract(add(from, scale(direction, share)), before.at));
    attempt(sized(before, 2 * wide, before.kind === 'support' ? tipStepMm : sizeStepMm));
  }

  function onUp(event: PointerEvent): void {
    if (!on) return;
    if (grab !== null && event.pointerId === grab.pointer) {
      const { before } = grab;
      grab = null;
      if (held !== null && !isSameHeld(before, held)) void write(held);
      return;
    }
    const from = press;
    press = null;
    const { x, y } = inPicture(event);
    if (from === null || Math.hypot(x - from.x, y - from.y) > clickPx) return;
    const point = pick(x, y);
    if (tool === 'show') clickOutline(point, x, y);
    else if (tool === 'length') addEnd(point);
    else if (point === null || held?.id != null) take(null);
    else if (placeable(point) === null) tell(fromBelow);
    else {
      take(newHeld(tool, point, nextDiameter()));
      void write(held!);
    }
  }

  function clickOutline(point: SurfacePoint | null, x: number, y: number): void {
    const first = corners[0] === undefined ? null : stage.project(corners[0].at);
    const closes = first !== null && Math.hypot(x - first.x, y - first.y) <= closePx && corners.length > 2;
    if (closes) void closeOutline();
    else if (point !== null) addCorner(point);
  }

  /** A third one begins another length. */
  function addEnd(point: SurfacePoint | null): void {
    if (point === null) return;
    corners = [...(corners.length < 2 ? corners : []), point];
    cursor = null;
    redraw();
    const [a, b] = corners;
    if (b === undefined) {
      tell('One end of a length.');
      return;
    }
    tell(`Two ends, ${round(norm(subtract(a!.at, b.at)))} mm apart in print. Type what that is, then Enter.`);
    line.askLength();
  }

  function addCorner(point: SurfacePoint): void {
    corners = [...corners, point];
    redraw();
    tell(`Point ${corners.length} of the outline.`);
  }

  function onCancel(event: PointerEvent): void {
    if (grab === null || event.pointerId !== grab.pointer) return;
    const { before } = grab;
    grab = null;
    take(before);
  }

  function onOut(): void {
    clearTimeout(hoverTimer);
    if (grab === null && held?.id === null && document.activeElement !== stage.canvas) take(null);
  }

  /** Where the keys begin: what is in the middle of the picture. */
  function middle(): SurfacePoint | null {
    const { clientWidth, clientHeight } = picture;
    return pick(clientWidth / 2, clientHeight / 2) ?? picker.nearest(stage.eye().from, reach());
  }

  function stepped({ at }: SurfacePoint, right: number, up: number, mm: number): SurfacePoint | null {
    const eye = stage.eye();
    return picker.nearest(add(at, add(scale(eye.right, right * mm), scale(eye.up, up * mm))), reach());
  }

  /** The camera follows where a key has gone out of its sight. */
  function keepInSight({ at, facing }: SurfacePoint): void {
    const { from } = stage.eye();
    const toEye = normalized(subtract(from, at));
    if (dot(facing, toEye) > 0.25) return;
    const orbit = stage.orbit();
    if (tool === 'support') {
      // From right below the raft would hide what it holds: a tip is looked at aslant, from outside.
      const azimuth = Math.hypot(at[0], at[1]) > 0 ? Math.atan2(at[1], at[0]) : orbit.azimuth;
      stage.turnTo({ ...orbit, target: at, azimuth, elevation: tipElevation });
    } else {
      const elevation = Math.asin(Math.max(-0.98, Math.min(0.98, facing[2])));
      stage.turnTo({ ...orbit, azimuth: Math.atan2(facing[1], facing[0]), elevation });
    }
  }

  function moveByKey(right: number, up: number, fine: boolean): void {
    const mm = fine ? fineStepMm : stepMm;
    const from = drawsPoints() ? (cursor ?? corners.at(-1) ?? null) : held;
    const next = from === null ? middle() : stepped(from, right, up, mm);
    if (next === null) {
      tell('There is no surface to point at.');
      return;
    }
    keepInSight(next);
    if (tool === 'show' || tool === 'length') {
      cursor = next;
      redraw();
      tell(`Pointing at ${next.at.map(round).join(', ')} mm.`);
    } else if (placeable(next) === null) tell(fromBelow);
    else attempt(held === null ? newHeld(tool, next, nextDiameter()) : movedTo(held, next));
  }

  function cycle(step: 1 | -1): void {
    const all = [null, ...things()];
    const at = all.findIndex((one) => (one?.id ?? null) === (held?.id ?? null));
    const next = all[(at + step + all.length) % all.length]!;
    if (next === null) {
      take(null);
      tell(`Nothing in hand. Arrow keys begin a new ${tool === 'show' ? 'outline' : tool}.`);
      return;
    }
    keepInSight(next);
    attempt(next);
  }

  function stepBack(): void {
    clearTimeout(hoverTimer);
    if (grab !== null) {
      const { before } = grab;
      grab = null;
      take(before);
    } else if (corners.length > 0 || cursor !== null) {
      corners = [];
      cursor = null;
      redraw();
      tell(`The ${tool === 'length' ? 'length' : 'outline'} is dropped.`);
    } else if (held !== null) {
      const back = original(held);
      const moved = back !== null && !isSameHeld(back, held);
      take(moved ? back : null);
      tell(moved ? 'Back to where it was.' : 'Nothing in hand.');
    } else onLeave();
  }

  const arrows: Readonly<Record<string, readonly [right: number, up: number]>> = {
    ArrowLeft: [-1, 0],
    ArrowRight: [1, 0],
    ArrowUp: [0, 1],
    ArrowDown: [0, -1],
  };
  const toolKeys: Readonly<Record<string, EditTool>> = {
    v: 'vent',
    d: 'drain',
    t: 'tube',
    h: 'support',
    s: 'show',
    m: 'length',
  };

  function key(event: KeyboardEvent): boolean {
    const arrow = arrows[event.key];
    const chosen = toolKeys[event.key];
    if (arrow !== undefined) moveByKey(...arrow, event.shiftKey);
    else if (chosen !== undefined) setTool(chosen);
    else if ('[]{}+-'.includes(event.key)) return sizeByKey(event.key);
    else if (event.key === 'Tab') cycle(event.shiftKey ? -1 : 1);
    else if (event.key === 'Escape') stepBack();
    else if (event.key === 'Enter') return enter();
    else if (event.key === ' ' && drawsPoints()) return setPoint();
    else if (event.key === 'Backspace' && drawsPoints()) return takeBack();
    else if (event.key === 'Delete' || event.key === 'Backspace') return removeHeld();
    else return false;
    return true;
  }

  function sizeByKey(pressed: string): boolean {
    if (held === null) return false;
    const [coarse, fine] =
      held.kind === 'support' ? [tipStepMm, fineTipStepMm] : [sizeStepMm, fineSizeStepMm];
    const step = '{}'.includes(pressed) ? fine : coarse;
    attempt(sized(held, held.diameter + (']}+'.includes(pressed) ? step : -step), fine));
    return true;
  }

  function enter(): boolean {
    if (tool === 'show') void closeOutline();
    else if (tool === 'length') line.askLength();
    else if (held === null) tell('Nothing is in hand: an arrow key or Tab takes something.');
    else {
      const before = original(held);
      if (before !== null && isSameHeld(before, held)) tell('Nothing has changed.');
      else void write(held);
    }
    return true;
  }

  function setPoint(): boolean {
    const point = cursor ?? middle();
    if (tool === 'length') addEnd(point);
    else if (point !== null) addCorner(point);
    return true;
  }

  function takeBack(): boolean {
    corners = corners.slice(0, -1);
    redraw();
    tell(`${corners.length} points left.`);
    return true;
  }

  function removeHeld(): boolean {
    if (held?.id == null) tell('Nothing in hand: Tab takes something.');
    else void remove(held);
    return true;
  }

  picture.addEventListener('pointerdown', onDown, true);
  picture.addEventListener('pointermove', onMove);
  picture.addEventListener('pointerup', onUp);
  picture.addEventListener('pointercancel', onCancel);
  picture.addEventListener('pointerleave', onOut);

  function setOn(next: boolean): void {
    on = next;
    line.root.hidden = !on;
    line.set(tool, nextDiameter());
    grab = null;
    corners = [];
    cursor = null;
    written = null;
    clearTimeout(hoverTimer);
    stage.canvas.style.cursor = on ? 'crosshair' : '';
    take(null);
    tell(on ? `Editing. ${howTo(tool)}` : 'Editing ended.');
  }

  return {
    line: line.root,
    marks,
    on: () => on,
    setOn,
    setPart(next) {
      part = next ?? { openings: [], tips: [] };
      if (next === null && on) setOn(false);
      if (!on) return;
      const become = written === null ? undefined : nearestTo(things(), written);
      if (become !== undefined && grab === null) {
        written = null;
        take(become);
      } else if (held !== null && held.id !== null && grab === null) {
        take(original(held));
      } else redraw();
    },
    key,
    dispose() {
      clearTimeout(hoverTimer);
      trials.drop();
      picture.removeEventListener('pointerdown', onDown, true);
      picture.removeEventListener('pointermove', onMove);
      picture.removeEventListener('pointerup', onUp);
      picture.removeEventListener('pointercancel', onCancel);
      picture.removeEventListener('pointerleave', onOut);
    },
  };
}

function nearestTo(things: readonly Held[], { kind, at }: Held): Held | undefined {
  const near = things
    .map((thing) => ({ thing, apart: norm(subtract(thing.at, at)) }))
    .filter(({ thing, apart }) => thing.kind === kind && apart <= sameMm);
  return near.sort((a, b) => a.apart - b.apart)[0]?.thing;
}

const toolTitles: Readonly<Record<EditTool, string>> = {
  vent: 'A new vent.',
  drain: 'A new drain.',
  tube: 'A new tube.',
  support: 'A new support.',
  show: 'The show side.',
  length: 'A length.',
};

const fromBelow = 'A support touches the part from below: point at what faces down.';

const mouthOf = ({ at, facing, diameter }: Held): RestingMouth => ({ at, facing, radius: diameter / 2 });

/** What is in hand is called. */
function titleOf(held: Held): string {
  const wide = `${round(held.diameter)} mm`;
  if (held.kind !== 'support') {
    return `${held.id === null ? `New ${held.kind}` : capital(openingName(held.id))}, ${wide}`;
  }
  const { was } = held;
  const name =
    was === null ? 'New support' : was.byHand === null ? 'Planned support' : `Support ${was.byHand}`;
  return `${name}, ${wide}`;
}

const round = (value: number): number => Math.round(100 * value) / 100;

const sentence = (error: unknown): string => (error instanceof Error ? error.message : String(error));
