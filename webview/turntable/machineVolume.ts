import {
  BufferGeometry,
  Float32BufferAttribute,
  Group,
  LineBasicMaterial,
  LineDashedMaterial,
  LineLoop,
  LineSegments,
} from 'three';
import type { PartView } from '../../src/protocol/partView.ts';
import { contrast, mix } from '../shared/colour.ts';
import type { Theme } from '../shared/theme.ts';
import { rawColour } from './surface.ts';

const gridStep = 10;

/** The machine's volume as thin lines: its box, the plate's 10 mm grid and the margin, dashed. */
export interface MachineVolume {
  readonly group: Group;
  setTheme(theme: Theme): void;
  dispose(): void;
}

export function createMachineVolume({ plate, height, margin }: PartView['machine']): MachineVolume {
  const grid = new LineSegments(lines(gridPoints(plate)), new LineBasicMaterial());
  const box = new LineSegments(lines(boxPoints(plate, height)), new LineBasicMaterial());
  const edge = new LineLoop(
    lines(rectangle(plate, margin)),
    new LineDashedMaterial({ dashSize: 3, gapSize: 2 }),
  );
  edge.computeLineDistances();
  const group = new Group();
  group.add(grid, box, edge);
  return {
    group,
    setTheme(theme) {
      const faint = mix(theme.background, theme.line, theme.highContrast ? 0.6 : 0.4);
      grid.material.color = rawColour(faint);
      box.material.color = rawColour(theme.line);
      const strong = contrast(theme.background, theme.line) > 3 ? theme.line : theme.foreground;
      edge.material.color = rawColour(strong);
    },
    dispose() {
      for (const part of [grid, box, edge]) {
        part.geometry.dispose();
        part.material.dispose();
      }
    },
  };
}

function lines(points: readonly number[]): BufferGeometry {
  return new BufferGeometry().setAttribute('position', new Float32BufferAttribute(points, 3));
}

function gridPoints([width, depth]: readonly [number, number]): number[] {
  const points: number[] = [];
  for (let x = gridStep * Math.ceil(-width / 2 / gridStep); x <= width / 2; x += gridStep) {
    points.push(x, -depth / 2, 0, x, depth / 2, 0);
  }
  for (let y = gridStep * Math.ceil(-depth / 2 / gridStep); y <= depth / 2; y += gridStep) {
    points.push(-width / 2, y, 0, width / 2, y, 0);
  }
  return points;
}

function boxPoints(plate: readonly [number, number], height: number): number[] {
  const corners = rectangle(plate, 0);
  const points: number[] = [];
  for (let i = 0; i < 4; i++) {
    const [x, y] = [corners[3 * i]!, corners[3 * i + 1]!];
    const j = (i + 1) % 4;
    const [nextX, nextY] = [corners[3 * j]!, corners[3 * j + 1]!];
    points.push(x, y, 0, nextX, nextY, 0, x, y, height, nextX, nextY, height, x, y, 0, x, y, height);
  }
  return points;
}

function rectangle([width, depth]: readonly [number, number], inset: number): number[] {
  const x = Math.max(0, width / 2 - inset);
  const y = Math.max(0, depth / 2 - inset);
  return [-x, -y, 0, x, -y, 0, x, y, 0, -x, y, 0];
}
