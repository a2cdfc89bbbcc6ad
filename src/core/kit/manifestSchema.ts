import { type Bounds, type KeyEntry, keyEntry, keysUnder } from './keyTable.ts';

type Schema = Record<string, unknown>;

/** JSON Schema (draft-07) of `kit.yaml`, made from the key table. */
export function manifestSchema(): object {
  return {
    $schema: 'http://json-schema.org/draft-07/schema#',
    title: 'Kitwright manifest (kit.yaml)',
    ...mapSchema(''),
  };
}

/** An absent value (`vents:` with nothing behind it) is as good as no key, so every group may be null; an entry of a list must hold something. */
function mapSchema(pattern: string): Schema {
  const keys = keysUnder(pattern);
  const required = keys.filter(({ entry }) => entry.required).map(({ name }) => name);
  return {
    type: pattern === '' || pattern.endsWith('.#') ? 'object' : ['object', 'null'],
    properties: Object.fromEntries(keys.map(({ name, entry }) => [name, described(entry)])),
    additionalProperties: false,
    ...(required.length > 0 && { required }),
  };
}

function described(entry: KeyEntry): Schema {
  const { doc, unit, fallback } = entry;
  return {
    description: unit === undefined ? doc : `${doc} (${unit})`,
    ...(fallback !== undefined && { default: fallback }),
    ...valueSchema(entry),
  };
}

function valueSchema(entry: KeyEntry): Schema {
  const shape = entry.value;
  switch (shape.shape) {
    case 'text':
      return { type: ['string', 'number', 'null'], maxLength: shape.longest };
    case 'ratio':
      return { type: ['string', 'null'], pattern: '^\\s*1\\s*[:/]\\s*\\d+(\\.\\d+)?\\s*$' };
    case 'file':
      return { type: ['string', 'null'], minLength: 1, maxLength: 250, pattern: '^[^/\\\\][^\\\\]*$' };
    case 'resin':
      return { type: ['string', 'number', 'null'], maxLength: 80 };
    case 'part':
      return { type: ['string', 'number'], maxLength: 80 };
    case 'number':
      return { type: [shape.whole ? 'integer' : 'number', 'null'], ...boundsSchema(shape) };
    case 'numberOrWord':
      return { anyOf: [{ const: shape.word }, { type: ['number', 'null'], ...boundsSchema(shape) }] };
    case 'numbers':
      if (shape.orOne) {
        const one = { type: 'number', ...boundsSchema(shape) };
        const list = shape.fewer
          ? { type: 'array', minItems: 1, maxItems: shape.length, items: one }
          : tuple(one, shape.length);
        return { anyOf: [{ ...one, type: ['number', 'null'] }, list] };
      }
      return { ...tuple({ type: 'number', ...boundsSchema(shape) }, shape.length), type: ['array', 'null'] };
    case 'word':
      return { enum: [...shape.words, null] };
    case 'ends':
      return { type: ['array', 'null'], minItems: 2, maxItems: 2, items: tuple({ type: 'number' }, 3) };
    case 'outline':
      return { type: 'array', minItems: 3, maxItems: 1000, items: tuple({ type: 'number' }, 3) };
    case 'path':
      return { type: 'array', minItems: 2, maxItems: shape.most, items: tuple({ type: 'number' }, 3) };
    case 'map':
      return mapOr(entry, [
        ...(shape.words === undefined ? [] : [{ enum: shape.words }]),
        ...[shape.listIs, shape.textIs].flatMap((key) =>
          key === undefined ? [] : [valueSchema(keyEntry(`${entry.path}.${key}`))],
        ),
        ...(shape.orList ? [{ type: 'array', items: described(keyEntry(`${entry.path}.#`)) }] : []),
      ]);
    case 'named':
      return {
        type: ['object', 'null'],
        ...(shape.most !== undefined && { maxProperties: shape.most }),
        additionalProperties: described(keyEntry(`${entry.path}.*`)),
      };
    case 'list':
      return {
        type: ['array', ...(shape.orCount === undefined ? [] : ['integer']), 'null'],
        ...(shape.orCount !== undefined && boundsSchema(shape.orCount)),
        ...(shape.most !== undefined && { maxItems: shape.most }),
        items: described(keyEntry(`${entry.path}.#`)),
      };
  }
}

/** Exactly one of these keys. */
function oneOfSchema(names: readonly string[]): Schema {
  return { oneOf: names.map((name) => ({ properties: { [name]: true }, required: [name] })) };
}

function mapOr({ path, value }: KeyEntry, others: readonly Schema[]): Schema {
  const groups = value.shape === 'map' ? [value.oneOf, value.alsoOneOf] : [];
  const [one, also] = groups.flatMap((names) => (names === undefined ? [] : [oneOfSchema(names)]));
  const map = { ...mapSchema(path), ...one, ...(also !== undefined && { allOf: [also] }) };
  return others.length === 0 ? map : { anyOf: [...others, map] };
}

function tuple(item: Schema, length: number): Schema {
  return { type: 'array', items: item, minItems: length, maxItems: length };
}

function boundsSchema({ above, atLeast, below, atMost }: Bounds): Schema {
  return {
    ...(above !== undefined && { exclusiveMinimum: above }),
    ...(atLeast !== undefined && { minimum: atLeast }),
    ...(below !== undefined && { exclusiveMaximum: below }),
    ...(atMost !== undefined && { maximum: atMost }),
  };
}
