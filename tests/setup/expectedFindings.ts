import type { FindingCode } from '../../src/core/kit/findingTable.ts';

/**
 * The lesson of each part of the sample kit: the findings that must be shown for it. A part may
 * show others as well, except the torso, which must show none. Codes that only a broken manifest can
 * show (`yaml-invalid`, `scale-missing`, `manifest-missing`, `resin-unknown`) are left to unit tests:
 * a manifest that has them could not show the rest.
 */
export const expectedFindings: Readonly<Record<string, readonly FindingCode[]>> = {
  torso: [],
  'coat-skirt': [
    'needs-supports',
    'opening-near-wall',
    'breathes-late',
    'large-ceiling',
    'area-jump',
    'pull-high',
    'chamber-filled',
    'joint-clash',
  ],
  head: ['needs-supports', 'chamber-without-opening', 'sealed-cup'],
  cap: ['inside-out', 'value-out-of-range'],
  'raised-arm': [
    'needs-supports',
    'starts-in-air',
    'single-opening',
    'hard-to-cure',
    'joint-loose',
    'joint-clash',
    'pin-weak',
  ],
  'lowered-arm': ['needs-supports', 'opening-through', 'opening-misses-chamber', 'opening-off-surface'],
  lantern: ['doubled-wall'],
  ladder: ['too-tall', 'too-thin-to-hollow'],
  base: [
    'outside-plate',
    'loose-shell',
    'pull-high',
    'area-jump',
    'vat-runs-low',
    'resin-changes',
    'figure-tips-over',
  ],
  boots: ['key-unknown', 'mesh-repaired'],
  'oil-can': ['not-watertight'],
  satchel: ['file-unreadable'],
  'lamp-post': ['file-missing'],
};

/** Findings about the kit as a whole. */
export const expectedOfTheKit: readonly FindingCode[] = ['resin-short', 'plate-overlap', 'light-bends-tight'];

/** The part that must show no finding at all. */
export const perfectPart = 'torso';
