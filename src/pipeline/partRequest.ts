import type { PartCut } from '../core/cut/cutDecision.ts';
import type { Coat, Fill } from '../core/filling/filling.ts';
import type { Film, KeepSolid, Limits, Machine, Resin } from '../core/kit/manifest.ts';
import type { LightBore } from '../core/lights/light.ts';
import type { OpeningDecision } from '../core/openings/opening.ts';
import type { ShowOutline } from '../core/showSide/showOutline.ts';
import type { SupportDecision } from '../core/supports/supportDecision.ts';
import type { Vec3 } from '../core/vector.ts';

/** One part to be measured: its file and every decision that changes a figure. Plain data. */
export interface PartRequest {
  readonly name: string;
  /** Absolute path of the STL. */
  readonly path: string;
  /** Folder whose `.kitwright/` holds the cache; null = compute everything, keep nothing. */
  readonly kitDir: string | null;
  /** False: write the cache but do not read it. */
  readonly readCache: boolean;
  readonly factor: number;
  /** What is cut off it, one cut after the other. */
  readonly cuts: readonly PartCut[];
  readonly turn: Vec3;
  readonly raise: number;
  /** mm; null = solid. */
  readonly wall: number | null;
  /** Null = none are planned. */
  readonly supports: SupportDecision | null;
  readonly keepSolid: readonly KeepSolid[];
  /** Cut through it; a hollow keeps their linings. */
  readonly lights: readonly LightBore[];
  readonly openings: readonly OpeningDecision[];
  /** Source coordinates. */
  readonly show: readonly ShowOutline[];
  readonly machine: Machine;
  readonly film: Film;
  /** Degrees as of `turn`; null = searched. */
  readonly wash: Vec3 | null;
  readonly fill: Fill | null;
  readonly coat: Coat | null;
  readonly resin: Resin;
  readonly limits: Limits;
}
