import { element } from '../shared/element.ts';

/** The turntable's fixed frame: picture on top, the strata under it, the same in words below. */
export interface Page {
  readonly root: HTMLElement;
  /** Everything that needs a part; hidden until there is one. */
  readonly content: HTMLElement;
  readonly title: HTMLElement;
  /** Under the title: what the turntable beside this one has otherwise; hidden where there is none. */
  readonly changes: HTMLElement;
  readonly picture: HTMLElement;
  /** Over the picture: how much of the mesh is drawn, or why nothing is. */
  readonly note: HTMLElement;
  readonly status: HTMLElement;
  /** Under the picture: what a gesture does while openings are edited. */
  readonly underPicture: HTMLElement;
  readonly findings: HTMLElement;
  readonly openings: HTMLElement;
  readonly figures: HTMLElement;
  readonly tables: HTMLElement;
  /** False: there is a picture, but no figures, graph or findings yet. */
  setMeasured(measured: boolean): void;
  /** Says a sentence to a screen reader, once things have settled. */
  announce(text: string): void;
}

export function createPage(parts: {
  readonly banner: HTMLElement;
  readonly controls: HTMLElement;
  readonly strata: HTMLElement;
  readonly poses: HTMLElement;
  readonly copyFigures: HTMLElement;
}): Page {
  const title = element('h1');
  const changes = element('div', { class: 'changes', hidden: true });
  const note = element('p', { class: 'note' });
  const picture = element('div', { class: 'picture' }, note);
  const status = element('p', { class: 'status' });
  const live = element('p', { class: 'read-only', role: 'status' });
  const findings = element('div');
  const openings = element('div');
  const figures = element('div');
  const tables = element('div');
  const underPicture = element('div');
  const first = element(
    'div',
    { class: 'first' },
    title,
    changes,
    parts.poses,
    picture,
    underPicture,
    parts.controls,
    status,
    parts.strata,
  );
  const sections = [
    section('Findings', findings),
    section('Openings', openings),
    section('Figures', figures, parts.copyFigures),
    section('Strata in words', tables),
  ];
  const content = element('div', { class: 'content', hidden: true }, first, ...sections);
  const root = element('main', {}, parts.banner, content, live);
  let waiting: ReturnType<typeof setTimeout> | undefined;
  return {
    root,
    content,
    title,
    changes,
    picture,
    note,
    status,
    underPicture,
    findings,
    openings,
    figures,
    tables,
    setMeasured(measured) {
      for (const part of [parts.controls, status, parts.strata, ...sections]) part.hidden = !measured;
    },
    announce(text) {
      clearTimeout(waiting);
      waiting = setTimeout(() => {
        live.textContent = text;
      }, 400);
    },
  };
}

function section(heading: string, ...children: readonly Node[]): HTMLElement {
  return element('section', {}, element('h2', {}, heading), ...children);
}
