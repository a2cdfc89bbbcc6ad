/**
 * Typed arrays and plain JSON data in one buffer, for the stage cache. Layout: magic `KWC1`, header
 * length (uint32 LE), header JSON, then each array aligned to 8 bytes. Typed arrays may stand
 * anywhere in the value, on plain or shared memory; everything else must survive JSON. Numbers that
 * JSON cannot hold are not used outside of arrays.
 */
const magic = 0x3143574b;

const arrayTypes = {
  f32: Float32Array,
  f64: Float64Array,
  u32: Uint32Array,
  i32: Int32Array,
  u16: Uint16Array,
  u8: Uint8Array,
  i8: Int8Array,
} as const;
type ArrayTypeName = keyof typeof arrayTypes;
type StoredArray = InstanceType<(typeof arrayTypes)[ArrayTypeName]>;

interface ArrayReference {
  readonly $array: number;
}

interface Header {
  readonly value: unknown;
  readonly arrays: readonly {
    readonly type: ArrayTypeName;
    readonly length: number;
    readonly offset: number;
  }[];
  readonly total: number;
}

const align = (offset: number): number => (offset + 7) & ~7;

/** Pieces to be written one after the other. */
export function packContainer(value: unknown): Uint8Array[] {
  const found: StoredArray[] = [];
  const body = JSON.stringify(value, (_key, item: unknown) => {
    const type = typeName(item);
    if (type === null) return item;
    found.push(item as StoredArray);
    return { $array: found.length - 1 } satisfies ArrayReference;
  });
  let offset = 0;
  const arrays = found.map((array) => {
    const entry = { type: typeName(array)!, length: array.length, offset };
    offset = align(offset + array.byteLength);
    return entry;
  });
  const header = Buffer.from(`{"value":${body},"arrays":${JSON.stringify(arrays)},"total":${offset}}`);
  const lead = Buffer.alloc(align(8 + header.length));
  lead.writeUInt32LE(magic, 0);
  lead.writeUInt32LE(header.length, 4);
  header.copy(lead, 8);
  return [lead, ...found.flatMap(padded)];
}

const copiedAtOnce = 4 * 2 ** 20;

/**
 * The same as one block of shared memory, so that any thread can use the arrays of it without a
 * copy. `breathe` is called every few milliseconds and may throw to end it.
 */
export function packShared(value: unknown, breathe: () => void = () => {}): SharedArrayBuffer {
  const pieces = packContainer(value);
  const bytes = new SharedArrayBuffer(pieces.reduce((sum, { length }) => sum + length, 0));
  const whole = new Uint8Array(bytes);
  let at = 0;
  for (const piece of pieces) {
    for (let from = 0; from < piece.length; from += copiedAtOnce) {
      breathe();
      whole.set(piece.subarray(from, from + copiedAtOnce), at + from);
    }
    at += piece.length;
  }
  return bytes;
}

function padded(array: StoredArray): Uint8Array[] {
  const bytes = new Uint8Array(array.buffer, array.byteOffset, array.byteLength);
  const gap = align(bytes.length) - bytes.length;
  return gap === 0 ? [bytes] : [bytes, new Uint8Array(gap)];
}

/** The value, with its arrays as views on `bytes`; null when the bytes are not a whole container. */
export function unpackContainer(bytes: Uint8Array): unknown {
  if (bytes.byteOffset % 8 !== 0) return unpackContainer(new Uint8Array(bytes));
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.byteLength < 8 || view.getUint32(0, true) !== magic) return null;
  const headerLength = view.getUint32(4, true);
  const start = align(8 + headerLength);
  if (start > bytes.byteLength) return null;
  const header = parseHeader(bytes.subarray(8, 8 + headerLength));
  if (header === null || start + header.total !== bytes.byteLength) return null;
  const arrays = header.arrays.map((entry) => {
    const Type = arrayTypes[entry.type];
    return new Type(bytes.buffer as ArrayBuffer, bytes.byteOffset + start + entry.offset, entry.length);
  });
  return restore(header.value, arrays);
}

function parseHeader(bytes: Uint8Array): Header | null {
  try {
    // A copy: text is not read from shared memory.
    return JSON.parse(Buffer.from(bytes).toString('utf8')) as Header;
  } catch {
    return null;
  }
}

function restore(value: unknown, arrays: readonly StoredArray[]): unknown {
  if (Array.isArray(value)) return value.map((item) => restore(item, arrays));
  if (value === null || typeof value !== 'object') return value;
  const reference = (value as ArrayReference).$array;
  if (typeof reference === 'number') return arrays[reference];
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, restore(item, arrays)]));
}

function typeName(item: unknown): ArrayTypeName | null {
  for (const name of Object.keys(arrayTypes) as ArrayTypeName[]) {
    if (item instanceof arrayTypes[name]) return name;
  }
  return null;
}
