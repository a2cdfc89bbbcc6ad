/** Nodes by level in a binary heap, the lowest first; equal ones in the order of their numbers. */
export class LevelQueue {
  private readonly nodes: number[] = [];
  private readonly levels: number[] = [];

  push(node: number, level: number): void {
    let at = this.nodes.length;
    while (at > 0) {
      const parent = (at - 1) >> 1;
      if (!isBefore(level, node, this.levels[parent]!, this.nodes[parent]!)) break;
      this.put(at, this.nodes[parent]!, this.levels[parent]!);
      at = parent;
    }
    this.put(at, node, level);
  }

  /** −1 when there is none left. */
  pop(): number {
    if (this.nodes.length === 0) return -1;
    const first = this.nodes[0]!;
    const node = this.nodes.pop()!;
    const level = this.levels.pop()!;
    if (this.nodes.length > 0) this.sink(node, level);
    return first;
  }

  private sink(node: number, level: number): void {
    const { nodes, levels } = this;
    let at = 0;
    for (;;) {
      let child = 2 * at + 1;
      if (child >= nodes.length) break;
      const right = child + 1;
      if (right < nodes.length && isBefore(levels[right]!, nodes[right]!, levels[child]!, nodes[child]!)) {
        child = right;
      }
      if (!isBefore(levels[child]!, nodes[child]!, level, node)) break;
      this.put(at, nodes[child]!, levels[child]!);
      at = child;
    }
    this.put(at, node, level);
  }

  private put(at: number, node: number, level: number): void {
    this.nodes[at] = node;
    this.levels[at] = level;
  }
}

function isBefore(level: number, node: number, otherLevel: number, otherNode: number): boolean {
  return level < otherLevel || (level === otherLevel && node < otherNode);
}
