import type { PoseProposalReport } from '../core/pose/poseReport.ts';

/** Poses of a part to choose from, with their pictures. */
export interface PoseChoice {
  readonly part: string;
  readonly report: PoseProposalReport;
  /** PNGs in base64: the part as it is, then in each pose. */
  readonly pictures: readonly string[];
  /** Number of the pose, from 1, that the manifest has now; null for none of them. */
  readonly taken: number | null;
}
