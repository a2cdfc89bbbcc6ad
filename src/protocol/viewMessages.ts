import type { Failure } from '../core/result.ts';
import type { Vec3 } from '../core/vector.ts';
import type { Beside, Look } from './look.ts';
import type { OpeningCandidate, OpeningTrial } from './openingTrial.ts';
import type { PartScene, PartView } from './partView.ts';
import type { PoseChoice } from './poseChoice.ts';
import type { SupportCandidate, SupportTrial } from './supportTrial.ts';
import type { SurfacePiece } from './surfacePiece.ts';

/** What the webview shows, but for the surfaces, which come on their own. The host sends the whole state. */
export type ViewState =
  | {
      readonly kind: 'working';
      readonly part: string;
      readonly stage: string;
      readonly fraction: number;
      /** What can be drawn already. */
      readonly scene: PartScene | null;
    }
  | { readonly kind: 'view'; readonly view: PartView; readonly editable: boolean }
  | { readonly kind: 'failure'; readonly part: string; readonly error: Failure }
  | { readonly kind: 'empty'; readonly hint: string };

/** The webview's methods, called by the host. */
export type WebviewMethods = {
  show: { params: ViewState; progress: never; result: null };
  /** One piece at a time: the next one is sent when this is answered. */
  surface: { params: SurfacePiece; progress: never; result: null };
  /** Select a flag, turn it to the camera and move the cut to its layer. */
  revealFlag: { params: { readonly number: number }; progress: never; result: null };
  /** Poses to choose from, or none any more. `focus`: the builder has just asked for them. */
  showPoses: {
    params: { readonly choice: PoseChoice | null; readonly focus: boolean };
    progress: never;
    result: null;
  };
  cutAtLayer: { params: { readonly layer: number | null }; progress: never; result: null };
  /** Told before the first `show`: the page tells from now on how it is looked at. */
  standBeside: { params: Beside; progress: never; result: null };
  /** Look at the part as the other turntable is looked at; it is not told back. */
  follow: { params: Look; progress: never; result: null };
};

/** The host's methods, called by the webview. */
export type HostMethods = {
  /** Sent once the webview listens; the host answers by calling `show`. */
  ready: { params: null; progress: never; result: null };
  revealFinding: { params: { readonly number: number }; progress: never; result: null };
  revealOpening: { params: { readonly id: string }; progress: never; result: null };
  makeReady: { params: null; progress: never; result: null };
  cancel: { params: null; progress: never; result: null };
  /** What a candidate would change; a newer question ends an older one. */
  tryOpening: {
    params: OfPart<{ readonly candidate: OpeningCandidate }>;
    progress: never;
    result: OpeningTrial;
  };
  /** A finished gesture: one edit of the manifest. The reply tells in a sentence what was done. */
  putOpening: { params: OfPart<{ readonly candidate: OpeningCandidate }>; progress: never; result: Done };
  removeOpening: { params: OfPart<{ readonly id: string }>; progress: never; result: Done };
  trySupport: {
    params: OfPart<{ readonly candidate: SupportCandidate }>;
    progress: never;
    result: SupportTrial;
  };
  putSupport: { params: OfPart<{ readonly candidate: SupportCandidate }>; progress: never; result: Done };
  removeSupport: {
    params: OfPart<{ readonly was: NonNullable<SupportCandidate['was']> }>;
    progress: never;
    result: Done;
  };
  /** One more outline of the show side; points and facing in the print frame. */
  markShow: {
    params: OfPart<{ readonly outline: readonly Vec3[]; readonly facing: Vec3 }>;
    progress: never;
    result: Done;
  };
  /** Two places of the print frame and what lies between them: the scale follows from it. */
  putLength: {
    params: OfPart<{ readonly ends: readonly [Vec3, Vec3]; readonly length: TypedLength }>;
    progress: never;
    result: Done;
  };
  /** The pose of that number, from 1, of those shown, into the manifest. */
  takePose: { params: OfPart<{ readonly number: number }>; progress: never; result: Done };
  closePoses: { params: null; progress: never; result: null };
  /** How the part is looked at now, of a page that stands beside another. */
  looked: { params: Look; progress: never; result: null };
  copyText: { params: { readonly text: string }; progress: never; result: null };
};

/** The page names the part it shows, so that no gesture falls on another. */
type OfPart<P> = P & { readonly part: string };

/** A known length as the builder types it. */
export interface TypedLength {
  readonly mm: number;
  readonly where: 'subject' | 'print';
}

export interface Done {
  readonly said: string;
}
