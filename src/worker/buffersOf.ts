/**
 * The buffers of all typed arrays in plain data, each once, to be moved with it instead of copied.
 * Shared ones are left out: they reach the other side as they are.
 */
export function buffersOf(value: unknown): ArrayBuffer[] {
  const found = new Set<ArrayBuffer>();
  collect(value, found);
  return [...found];
}

function collect(value: unknown, found: Set<ArrayBuffer>): void {
  if (value === null || typeof value !== 'object') return;
  if (ArrayBuffer.isView(value)) {
    if (value.buffer instanceof ArrayBuffer) found.add(value.buffer);
    return;
  }
  for (const item of Array.isArray(value) ? value : Object.values(value)) collect(item, found);
}
