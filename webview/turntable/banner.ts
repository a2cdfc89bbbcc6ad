import type { ViewState } from '../../src/protocol/viewMessages.ts';
import { element } from '../shared/element.ts';
import { plainButton } from './controls.ts';

export type Notice = Exclude<ViewState, { kind: 'view' }>;

/** The line on top that tells what the engine does, what went wrong, or what to do first. */
export interface Banner {
  readonly root: HTMLElement;
  show(notice: Notice | null): void;
}

export function createBanner(onCancel: () => void): Banner {
  const root = element('div', { class: 'banner', hidden: true });
  const bar = element('progress', { max: 1, 'aria-label': 'Progress' });
  const stage = element('p');
  const cancel = plainButton('Cancel', onCancel);
  return {
    root,
    show(notice) {
      root.hidden = notice === null;
      root.classList.toggle('failed', notice?.kind === 'failure');
      if (notice?.kind === 'working') {
        stage.textContent = workingText(notice);
        bar.value = Math.min(1, Math.max(0, notice.fraction));
        // The same nodes stay in place while the figures run, so the focus on Cancel is not lost.
        if (cancel.parentNode !== root) root.replaceChildren(stage, bar, cancel);
      } else {
        root.replaceChildren(...(notice === null ? [] : noticeParts(notice)));
      }
    },
  };
}

function noticeParts(notice: Exclude<Notice, { kind: 'working' }>): HTMLElement[] {
  if (notice.kind === 'empty') return [element('p', {}, notice.hint)];
  const { code, message } = notice.error;
  return [element('p', { role: 'alert' }, `${notice.part}: ${message} `, element('code', {}, code))];
}

export function workingText({ part, stage, fraction }: Extract<ViewState, { kind: 'working' }>): string {
  if (stage === '') return `${part}: starting`;
  return `${part}: ${stage}, ${Math.round(100 * Math.min(1, Math.max(0, fraction)))} %`;
}
