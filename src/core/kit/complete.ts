import { cursorContext } from './cursorContext.ts';
import { describeKey } from './hover.ts';
import { entryAt, type KeyEntry, keyEntry, keysUnder } from './keyTable.ts';
import type { ManifestPath } from './manifest.ts';
import { readTree, type Tree } from './readTree.ts';
import { renderFlow, renderText } from './renderYaml.ts';
import { keysAt, scalarAt } from './treeAt.ts';

export interface Completion {
  readonly label: string;
  readonly kind: 'key' | 'value' | 'file' | 'resin' | 'part' | 'template';
  /** In snippet syntax: `${1:…}` is a place to fill in, `$`, `}` and `\` of the text are escaped. */
  readonly snippet: string;
  readonly detail: string;
  /** Markdown. */
  readonly documentation: string;
  /** Text that it replaces, UTF-16 offsets. */
  readonly start: number;
  readonly end: number;
}

export interface CompletionContext {
  /** STL files of the kit folder, relative to it, `/` separated. */
  readonly files: readonly string[];
}

/** What may be written at an offset of the manifest. */
export function completeAt(
  text: string,
  offset: number,
  { files }: CompletionContext,
): readonly Completion[] {
  const cursor = cursorContext(text, offset);
  if (cursor === null) return [];
  const entry = cursor.path.length === 0 ? rootEntry : entryAt(cursor.path);
  if (entry === undefined) return [];
  const { root } = readTree(text);
  const offers =
    cursor.wants === 'key'
      ? keyOffers(entry, writtenAt(root, cursor.path), cursor.flow, files, root)
      : valueOffers(entry, root, files);
  return offers.map((offer) => ({ ...offer, start: offset - cursor.prefix.length, end: offset }));
}

type Offer = Omit<Completion, 'start' | 'end'>;

const rootEntry: KeyEntry = { path: '', value: { shape: 'map' }, doc: '' };

/** A place to fill in, with what stands there at first. */
const blank = (index: number, text: string): string => `\${${index}:${text}}`;

const pointTemplate = `[${blank(1, 'x')}, ${blank(2, 'y')}, ${blank(3, 'z')}]`;

/** Keys already written in the mapping being typed. Which entry of a list that is, is not known. */
function writtenAt(root: Tree | null, path: ManifestPath): readonly string[] {
  return path.some((step) => typeof step === 'number') ? [] : keysAt(root, path);
}

function keyOffers(
  entry: KeyEntry,
  written: readonly string[],
  flow: boolean,
  files: readonly string[],
  root: Tree | null,
): Offer[] {
  switch (entry.value.shape) {
    case 'map':
      return [
        ...textOffers(entry, root, files),
        ...keysUnder(entry.path)
          .filter(({ name }) => !written.includes(name))
          .map(({ name, entry: key }) => offerKey(name, key, flow)),
      ];
    case 'named':
      return nameOffers(entry.path, files, root, flow);
    case 'list':
      return flow ? [] : (listTemplates(entry)?.items.map(dashed) ?? []);
    default:
      return [];
  }
}

function nameOffers(path: string, files: readonly string[], root: Tree | null, flow: boolean): Offer[] {
  if (path === 'parts') return partOffers(files, root, flow);
  if (path === 'parts.*.cut') return keysAt(root, ['cuts']).map(cutOffer);
  if (path === 'plates') return [plateTemplate];
  if (path === 'joints') return [jointTemplate];
  return [path === 'cuts' ? cutTemplate : resinTemplate];
}

const cutOffer = (name: string): Offer => ({
  label: name,
  kind: 'key',
  snippet: `${literal(renderText(name))}: ${blank(1, 'back')}`,
  detail: 'back or front',
  documentation: 'The half of this cut that the part is; the front one lies where its `toward` points.',
});

const cutTemplate: Offer = {
  label: 'a cut',
  kind: 'template',
  snippet: `${blank(4, 'name')}: { at: ${pointTemplate}, toward: [${blank(5, '1')}, ${blank(6, '0')}, ${blank(7, '0')}], keys: ${blank(8, '2')} }`,
  detail: 'at: source units',
  documentation: 'A plane at which a part is cut in two: a point of it, and the direction of the front half.',
};

const jointTemplate: Offer = {
  label: 'a joint',
  kind: 'template',
  snippet: `${blank(1, 'name')}: { parts: [${blank(2, 'one')}, ${blank(3, 'other')}], pin: ${blank(4, 'stainless')} }`,
  detail: 'two parts',
  documentation: 'What you decided about a joint: its two parts, and the rod that carries it.',
};

function offerKey(name: string, entry: KeyEntry, flow: boolean): Offer {
  return {
    label: name,
    kind: 'key',
    snippet: `${literal(name)}:${valueSnippet(entry, flow)}`,
    detail: entry.unit ?? '',
    documentation: describeKey(entry),
  };
}

/** What follows a key as it is completed: its default to overwrite, or room for what it holds. */
function valueSnippet(entry: KeyEntry, flow: boolean): string {
  const { value, fallback } = entry;
  if (value.shape === 'map' && value.words !== undefined) return ' $1';
  if (value.shape === 'map' || value.shape === 'named') return flow ? ' { $1 }' : '\n  $0';
  if (value.shape === 'list') {
    const [template] = listTemplates(entry)?.items ?? [];
    if (template === undefined) return ' [$1]';
    return flow ? ` [${template.snippet}]` : `\n  - ${template.snippet}`;
  }
  if (fallback !== undefined) return ` ${blank(1, literal(renderFlow(fallback)))}`;
  return value.shape === 'numbers' && !value.orOne ? ` ${pointTemplate}` : ' $1';
}

/** A new part for every STL that no part names yet. */
function partOffers(files: readonly string[], root: Tree | null, flow: boolean): Offer[] {
  const used = new Set(keysAt(root, ['parts']).map((name) => scalarAt(root, ['parts', name, 'file'])));
  return files
    .filter((file) => !used.has(file))
    .map((file) => {
      const name = renderText(file.replace(/^.*\//, '').replace(/\.stl$/i, ''));
      const body = `file: ${literal(renderText(file))}`;
      return {
        label: name,
        kind: 'template',
        snippet: `${literal(name)}:${flow ? ` { ${body} }` : `\n  ${body}`}`,
        detail: file,
        documentation: `A part from ${file}.`,
      };
    });
}

const resinTemplate: Offer = {
  label: 'a resin',
  kind: 'template',
  snippet: `${blank(1, 'name')}: { density: ${blank(2, '1.18')}, viscosity: ${blank(3, '300')}, on-hand: ${blank(4, '1000')} }`,
  detail: 'g/ml cured, mPa·s, ml',
  documentation: 'A resin with its cured density, its viscosity, and what is in the bottles.',
};

const plateTemplate: Offer = {
  label: 'a plate',
  kind: 'template',
  snippet: `${blank(1, 'name')}: { parts: [${blank(2, 'part')}, ${blank(3, 'part')}] }`,
  detail: 'names of parts',
  documentation: 'Parts that are printed together, arranged on the plate by themselves.',
};

const openingOffer: Offer = {
  label: 'an opening',
  kind: 'template',
  snippet: `{ at: ${pointTemplate}, diameter: ${blank(4, '6')} }`,
  detail: 'at: source units, diameter: mm',
  documentation:
    'A round opening: the centre of its mouth in the STL’s own coordinates, its diameter in print.',
};

const keptOffers: readonly Offer[] = [
  {
    label: 'a ball',
    kind: 'template',
    snippet: `{ at: ${pointTemplate}, radius: ${blank(4, '6')} }`,
    detail: 'at: source units, radius: mm',
    documentation: 'A ball that stays solid: its middle in the STL’s own coordinates, its radius in print.',
  },
  {
    label: 'a box',
    kind: 'template',
    snippet: `{ at: ${pointTemplate}, size: [${blank(4, '10')}, ${blank(5, '10')}, ${blank(6, '10')}] }`,
    detail: 'at: source units, size: mm',
    documentation:
      'A box that stays solid: its middle in the STL’s own coordinates, its size in print along the STL’s axes.',
  },
];

function valueOffers(entry: KeyEntry, root: Tree | null, files: readonly string[]): Offer[] {
  const offer = (text: string, kind: Offer['kind'], detail = ''): Offer => ({
    label: text,
    kind,
    snippet: literal(text),
    detail,
    documentation: describeKey(entry),
  });
  const { value, fallback, path } = entry;
  switch (value.shape) {
    case 'file':
      return files.map((file) => offer(renderText(file), 'file'));
    case 'resin':
      return keysAt(root, ['resins']).map((name) => offer(renderText(name), 'resin'));
    case 'part':
      return keysAt(root, ['parts']).map((name) => offer(renderText(name), 'part'));
    case 'numberOrWord':
      return [
        offer(value.word, 'value'),
        ...(fallback === undefined ? [] : [offer(renderFlow(fallback), 'value', 'default')]),
      ];
    case 'word':
      return value.words.map((word) => offer(word, 'value'));
    case 'ratio':
      return ['1:3', '1:4', '1:6', '1:8', '1:12'].map((scale) => offer(JSON.stringify(scale), 'value'));
    case 'map':
      if (value.words !== undefined) return value.words.map((word) => offer(word, 'value'));
      if (value.textIs !== undefined) return textOffers(entry, root, files);
      return [...(listTemplates(entryOfHolder(path))?.items ?? [])];
    case 'list':
      return listOfOne(entry);
    case 'numbers':
      if (value.orOne) return [];
      if (fallback === undefined) return [{ ...offer('[x, y, z]', 'template'), snippet: pointTemplate }];
      return [offer(renderFlow(fallback), 'value', 'default')];
    default:
      return fallback === undefined ? [] : [offer(renderFlow(fallback), 'value', 'default')];
  }
}

/** What may stand where a mapping would, as the value of one of its keys. */
function textOffers({ path, value }: KeyEntry, root: Tree | null, files: readonly string[]): Offer[] {
  const key = value.shape === 'map' ? value.textIs : undefined;
  return key === undefined ? [] : valueOffers(keyEntry(`${path}.${key}`), root, files);
}

function entryOfHolder(path: string): KeyEntry | undefined {
  const holder = path.split('.').slice(0, -1);
  return entryAt(holder.map((step) => (step === '#' ? 0 : step)));
}

/** What an entry of a list looks like, and what to call a list of one. */
function listTemplates(
  entry: KeyEntry | undefined,
): { readonly items: readonly Offer[]; readonly listOfOne: string } | null {
  if (entry === undefined) return null;
  if (/^parts\.\*\.(vents|drains|tubes)$/.test(entry.path))
    return { items: [openingOffer], listOfOne: 'a list of one opening' };
  if (entry.path === 'parts.*.keep-solid') return { items: keptOffers, listOfOne: 'a list of one region' };
  return null;
}

const dashed = (offer: Offer): Offer => ({ ...offer, snippet: `- ${offer.snippet}` });

function listOfOne(entry: KeyEntry): Offer[] {
  const templates = listTemplates(entry);
  const [first] = templates?.items ?? [];
  if (templates === null || first === undefined) return [];
  return [{ ...first, snippet: `[${first.snippet}]`, label: templates.listOfOne }];
}

function literal(text: string): string {
  return text.replace(/[$}\\]/g, '\\$&');
}
