import { childEnd, childStart, type FacetTree, leafEnd, leafStart } from '../field/facetTree.ts';
import type { Interrupter } from '../interrupter.ts';
import { apart, facetContact, meeting } from './facetContact.ts';
import type { ShellLabels } from './labelShells.ts';

export interface ShellContacts {
  /** Pairs of shells whose surfaces meet (`a·count + b`, a < b). */
  readonly meeting: ReadonlySet<number>;
  /** Pairs that have at least a corner in common. */
  readonly touching: ReadonlySet<number>;
}

const pairsPerTick = 1 << 14;

/**
 * Which shells meet: the tree of all facets is walked against itself; branches that hold one shell only
 * are not compared with themselves, nor shells already known to meet. Candidate facets are tested
 * exactly (`facetContact`), so no overlap is too small to be seen.
 */
export function shellContacts(tree: FacetTree, labels: ShellLabels, interrupter: Interrupter): ShellContacts {
  const meetingPairs = new Set<number>();
  const touchingPairs = new Set<number>();
  const spans = shellSpans(tree, labels);
  const top = tree.levelStart.length - 2;
  // Four entries a pair of branches: level, box, level, box.
  const stack = [top, tree.levelStart[top]!, top, tree.levelStart[top]!];
  const a = new Float64Array(9);
  const b = new Float64Array(9);
  let ticks = 0;
  while (stack.length > 0) {
    const boxB = stack.pop()!;
    const levelB = stack.pop()!;
    const boxA = stack.pop()!;
    const levelA = stack.pop()!;
    if (++ticks % pairsPerTick === 0) interrupter(0);
    if (settled(spans, boxA, boxB, labels.count, meetingPairs) || !boxesTouch(tree.boxes, boxA, boxB))
      continue;
    if (levelA === 0 && levelB === 0) compareLeaves(boxA, boxB);
    else if (boxA === boxB) pushChildPairs(tree, levelA, boxA, stack);
    else if (levelA >= levelB) {
      for (let c = childStart(tree, levelA, boxA); c < childEnd(tree, levelA, boxA); c++) {
        stack.push(levelA - 1, c, levelB, boxB);
      }
    } else {
      for (let c = childStart(tree, levelB, boxB); c < childEnd(tree, levelB, boxB); c++) {
        stack.push(levelA, boxA, levelB - 1, c);
      }
    }
  }
  return { meeting: meetingPairs, touching: touchingPairs };

  function compareLeaves(leafA: number, leafB: number): void {
    for (let i = leafStart(leafA); i < leafEnd(tree, leafA); i++) {
      const shellI = labels.label[tree.facet[i]!]!;
      for (let j = leafA === leafB ? i + 1 : leafStart(leafB); j < leafEnd(tree, leafB); j++) {
        const shellJ = labels.label[tree.facet[j]!]!;
        if (shellI === shellJ) continue;
        const pair = pairKey(shellI, shellJ, labels.count);
        if (meetingPairs.has(pair) || !facetBoxesTouch(tree.corners, 9 * i, 9 * j)) continue;
        for (let k = 0; k < 9; k++) {
          a[k] = tree.corners[9 * i + k]!;
          b[k] = tree.corners[9 * j + k]!;
        }
        const contact = facetContact(a, b);
        if (contact !== apart) touchingPairs.add(pair);
        if (contact === meeting) meetingPairs.add(pair);
      }
    }
  }
}

const pairKey = (a: number, b: number, count: number): number => Math.min(a, b) * count + Math.max(a, b);

/** Least and greatest shell number under every box of the tree, two entries a box. */
function shellSpans(tree: FacetTree, { label }: ShellLabels): Uint32Array {
  const { levelStart } = tree;
  const spans = new Uint32Array(2 * levelStart.at(-1)!);
  for (let leaf = 0; leaf < levelStart[1]!; leaf++) {
    let low = 0xffffffff;
    let high = 0;
    for (let i = leafStart(leaf); i < leafEnd(tree, leaf); i++) {
      const shell = label[tree.facet[i]!]!;
      low = Math.min(low, shell);
      high = Math.max(high, shell);
    }
    spans[2 * leaf] = low;
    spans[2 * leaf + 1] = high;
  }
  for (let level = 1; level + 1 < levelStart.length; level++) {
    for (let box = levelStart[level]!; box < levelStart[level + 1]!; box++) {
      let low = 0xffffffff;
      let high = 0;
      for (let c = childStart(tree, level, box); c < childEnd(tree, level, box); c++) {
        low = Math.min(low, spans[2 * c]!);
        high = Math.max(high, spans[2 * c + 1]!);
      }
      spans[2 * box] = low;
      spans[2 * box + 1] = high;
    }
  }
  return spans;
}

/** Nothing new can come of two branches: each of one shell, and the same or known to meet. */
function settled(
  spans: Uint32Array,
  a: number,
  b: number,
  count: number,
  known: ReadonlySet<number>,
): boolean {
  const shellA = spans[2 * a]!;
  const shellB = spans[2 * b]!;
  if (shellA !== spans[2 * a + 1] || shellB !== spans[2 * b + 1]) return false;
  return shellA === shellB || known.has(pairKey(shellA, shellB, count));
}

function boxesTouch(boxes: Float32Array, a: number, b: number): boolean {
  for (let axis = 0; axis < 3; axis++) {
    if (boxes[6 * a + axis]! > boxes[6 * b + 3 + axis]!) return false;
    if (boxes[6 * b + axis]! > boxes[6 * a + 3 + axis]!) return false;
  }
  return true;
}

function facetBoxesTouch(p: Float32Array, a: number, b: number): boolean {
  for (let axis = 0; axis < 3; axis++) {
    const a0 = p[a + axis]!;
    const a1 = p[a + 3 + axis]!;
    const a2 = p[a + 6 + axis]!;
    const b0 = p[b + axis]!;
    const b1 = p[b + 3 + axis]!;
    const b2 = p[b + 6 + axis]!;
    if (Math.min(a0, a1, a2) > Math.max(b0, b1, b2)) return false;
    if (Math.min(b0, b1, b2) > Math.max(a0, a1, a2)) return false;
  }
  return true;
}

function pushChildPairs(tree: FacetTree, level: number, box: number, stack: number[]): void {
  const end = childEnd(tree, level, box);
  for (let a = childStart(tree, level, box); a < end; a++) {
    for (let b = a; b < end; b++) stack.push(level - 1, a, level - 1, b);
  }
}
