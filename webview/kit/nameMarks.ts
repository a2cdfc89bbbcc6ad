import type { Vec3 } from '../../src/core/vector.ts';
import { element } from '../shared/element.ts';
import type { OrbitCanvas } from '../turntable/orbitCanvas.ts';

/** The names of parts over the picture; where two would cover each other, that of the farther part is left out. */
export interface NameMarks {
  set(names: readonly string[]): void;
  place(
    view: Pick<OrbitCanvas, 'project'>,
    middle: (name: string) => Vec3 | null,
    picked: string | null,
  ): void;
}

export function createNameMarks(host: HTMLElement): NameMarks {
  const layer = element('div', { class: 'names', 'aria-hidden': 'true' });
  host.append(layer);
  const marks = new Map<string, HTMLElement>();

  return {
    set(names) {
      for (const [name, mark] of marks) {
        if (names.includes(name)) continue;
        mark.remove();
        marks.delete(name);
      }
      for (const name of names) {
        if (marks.has(name)) continue;
        const mark = element('span', {}, name);
        marks.set(name, mark);
        layer.append(mark);
      }
    },
    place(view, middle, picked) {
      const seen = [...marks].flatMap(([name, mark]) => {
        const at = middle(name);
        const place = at === null ? null : view.project(at);
        mark.hidden = place === null;
        return place === null ? [] : [{ ...place, mark, first: name === picked }];
      });
      // The sizes are read before anything is moved: else each would be laid out anew.
      const sized = seen.map((one) => ({ ...one, w: one.mark.offsetWidth, h: one.mark.offsetHeight }));
      sized.sort((a, b) => Number(b.first) - Number(a.first) || a.depth - b.depth);
      const kept: typeof sized = [];
      for (const one of sized) {
        const free = kept.every(
          (other) =>
            Math.abs(one.x - other.x) > (one.w + other.w) / 2 + 2 ||
            Math.abs(one.y - other.y) > (one.h + other.h) / 2 + 1,
        );
        one.mark.style.visibility = free ? '' : 'hidden';
        one.mark.classList.toggle('picked', one.first);
        one.mark.style.transform = `translate(${Math.round(one.x - one.w / 2)}px, ${Math.round(one.y - one.h / 2)}px)`;
        if (free) kept.push(one);
      }
    },
  };
}
