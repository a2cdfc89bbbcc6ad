import { type PinLine, pinLine } from '../core/joints/pinLine.ts';
import { buildSurfaceIndex } from '../core/openings/surfaceIndex.ts';
import { type Result, success } from '../core/result.ts';
import type { Vec3 } from '../core/vector.ts';
import { atFinishedSize } from './atFinishedSize.ts';
import { withStages } from './measurePart.ts';
import type { PartRequest } from './partRequest.ts';
import type { StageContext } from './stageContext.ts';

/** Pins to be placed. Source axes at finished size, mm. Plain data. */
export interface PinsRequest {
  /** Absolute path of the manifest: pins of one kit are placed in turn. */
  readonly path: string;
  readonly pins: readonly {
    readonly parts: readonly [PartRequest, PartRequest];
    readonly at: Vec3;
    /** The way in which the first part comes off the second. */
    readonly off: Vec3;
  }[];
}

/** In the order of the pins; null where the line meets no two faces that look at each other. */
export async function placePins(
  { pins }: PinsRequest,
  context: StageContext,
): Promise<Result<(PinLine | null)[]>> {
  const lines: (PinLine | null)[] = [];
  for (const { parts, at, off } of pins) {
    const indexes = [];
    for (const part of parts) {
      const prepared = await withStages(part, context, false, (stages) => stages.prepared());
      if (!prepared.ok) return prepared;
      const mesh = atFinishedSize(prepared.value.clean, part.factor);
      indexes.push(buildSurfaceIndex(mesh, context.stage('indexing surfaces')));
    }
    lines.push(pinLine(indexes[0]!, indexes[1]!, at, off));
  }
  return success(lines);
}
