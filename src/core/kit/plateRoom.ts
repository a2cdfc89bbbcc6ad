import type { Machine } from './manifest.ts';

/** x and y of the plate with its margin taken off, mm; never less than none. */
export const plateRoom = ({ plate: [x, y], margin }: Machine): readonly [number, number] => [
  Math.max(0, x - 2 * margin),
  Math.max(0, y - 2 * margin),
];
