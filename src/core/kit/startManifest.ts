import { keyEntry } from './keyTable.ts';
import { renderFlow, renderText, type YamlValue } from './renderYaml.ts';
import { fileFault, partNameFault } from './safeNames.ts';

export interface StartedManifest {
  /** A `kit.yaml` with everything but the scale at its default, and comments that say what to decide. */
  readonly text: string;
  readonly parts: readonly { readonly name: string; readonly file: string }[];
  /** Files that no manifest can name, and why. */
  readonly left: readonly { readonly file: string; readonly why: string }[];
}

const longestKitName = 200;

/** The manifest a kit begins with. `files`: its STL files in their order, relative to the kit folder, `/` separated. */
export function startManifest(kit: string, files: readonly string[]): StartedManifest {
  const left = files.flatMap((file) => {
    const why = startFault(file);
    return why === null ? [] : [{ file, why }];
  });
  const named = namedParts(files.filter((file) => startFault(file) === null));
  return { text: textOf(kit, named), parts: named, left };
}

function startFault(file: string): string | null {
  const fault = fileFault(file);
  if (fault !== null) return fault;
  // Half a character, or the mark of one that could not be read: the file would not be found by this name.
  return /[\p{Cs}\uFFFD]/u.test(file) ? 'has a character that cannot be written' : null;
}

/** A part for each file, by the file's own name as far as a part may bear it, none twice whatever the letters' case. */
function namedParts(files: readonly string[]): StartedManifest['parts'] {
  const taken = new Set<string>();
  return files.map((file) => {
    const wished = safePartName(
      file
        .split('/')
        .at(-1)!
        .replace(/\.stl$/i, ''),
    );
    let name = wished;
    for (let number = 2; taken.has(name.toLowerCase()); number++) name = `${wished}-${number}`;
    taken.add(name.toLowerCase());
    return { name, file };
  });
}

function kitName(text: string): string {
  const signs = [...text].filter((sign) => !/[\p{Cc}\p{Cs}\uFFFD]/u.test(sign));
  return signs.slice(0, longestKitName).join('').trim() || 'kit';
}

/** Room is kept for a number behind it. */
const longestName = 70;

function safePartName(text: string): string {
  const name = [...text.normalize('NFC')]
    .map((sign) => (/[\p{L}\p{M}\p{N} _.-]/u.test(sign) ? sign : '-'))
    .join('')
    .replace(/^[^\p{L}\p{N}]+/u, '');
  const short = [...name]
    .slice(0, longestName)
    .join('')
    .replace(/[ .]+$/, '');
  if (short === '') return 'part';
  return partNameFault(short) === null ? short : `part-${short}`;
}

const fallback = (key: string): YamlValue => keyEntry(key).fallback as YamlValue;
const examples = (prefix: string, keys: readonly string[]): YamlValue =>
  Object.fromEntries(keys.map((key) => [key, fallback(`${prefix}.${key}`)]));

/** `#   vat: 350   # ml. Resin in the vat when it is full.` */
function example(key: string, value: YamlValue, told: string): string {
  return `${`#   ${key}: ${renderFlow(value)}`.padEnd(28)} # ${told}`;
}

const machineKeys = ['plate', 'height', 'layer', 'margin', 'vat', 'resin-depth'];
const liftKeys = ['distance', 'up', 'down'];
const exposureKeys = ['base', 'base-layers', 'normal'];
const resinKeys = ['density', 'liquid-density', 'viscosity'];

function textOf(kit: string, parts: StartedManifest['parts']): string {
  const machine = machineKeys.map((key) => {
    const { unit, doc } = keyEntry(`machine.${key}`);
    return example(key, fallback(`machine.${key}`), `${unit}. ${doc}`);
  });
  const lift = examples('machine.lift', liftKeys);
  const exposure = examples('machine.exposure', exposureKeys);
  const resin = { ...(examples('resins.*', resinKeys) as Record<string, YamlValue>), 'on-hand': 1000 };
  return `# The decisions of this kit. Kitwright checks them as you type, and changes them only when you ask it to.
# What follows a # here is an example: take the # away and put in your own figure. What you leave out is
# assumed, and the report lists it under "assumptions".
kit: ${renderText(kitName(kit))}

# How large is it printed? No part is measured before this is known. Take away the # of one of these lines.
# scale: { factor: 1 }         # print mm per unit of the STL files: 1 where they are in print mm
# scale: { finished: "1:4", from: { source: 130, subject: 1768 } }   # a length in the STL files; on the subject, mm

# Your machine, by its data sheet and your settings.
# machine:
${machine.join('\n')}
#   lift: ${renderFlow(lift)}   # mm, mm/min, mm/min
#   exposure: ${renderFlow(exposure)}   # s, layers, s

# Your resins, by names of your own: g/ml cured, g/ml liquid, mPa·s, ml in the bottles.
# resins:
#   grey: ${renderFlow(resin)}

# What holds for every part that does not say otherwise: the wall in mm, and a resin from above.
# defaults: { wall: ${renderFlow(fallback('defaults.wall'))}, resin: grey }

# Each part wants a pose, a wall or solid, and openings where it is hollow. The links above a part propose them.
# By hand, under its file:
#     turn: [0, 0, 0]          # degrees about plate x, then y, then z
#     raise: 5                 # mm from the plate to its lowest point
#     wall: 2                  # mm, or solid
#     supports: planned
parts:${parts.length === 0 ? ' {}' : ''}
${parts.map(({ name, file }) => `  ${renderText(name)}:\n    file: ${renderText(file)}\n`).join('')}`;
}
