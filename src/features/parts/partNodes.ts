import type { Kit } from '../../host/kits.ts';

/**
 * A row of the tree. Its `kit` and `part` are those of a `KitTarget`, so that a command on the row is about them;
 * `id` is the same for the same row at any time.
 */
export interface PartNode {
  readonly kind: 'kit' | 'part' | 'plates' | 'plate' | 'plated' | 'note';
  readonly id: string;
  readonly kit: string;
  readonly part: string | null;
  readonly plate: string | null;
}

const node = (
  kit: Kit,
  kind: PartNode['kind'],
  part: string | null = null,
  plate: string | null = null,
): PartNode => {
  const uri = kit.uri.toString();
  return { kind, id: JSON.stringify([uri, kind, plate, part]), kit: uri, part, plate };
};

/** The only kit's rows, or a row for each kit. */
export function rootNodes(kits: readonly Kit[]): PartNode[] {
  const [only] = kits;
  return kits.length === 1 && only !== undefined ? kitNodes(only) : kits.map((kit) => node(kit, 'kit'));
}

/** Every part, in the manifest's order, then the plates. */
export function kitNodes(kit: Kit): PartNode[] {
  const { manifest } = kit.parsed;
  if (manifest === null || manifest.parts.length === 0) return [node(kit, 'note')];
  const parts = manifest.parts.map(({ name }) => node(kit, 'part', name));
  return manifest.plates.length === 0 ? parts : [...parts, node(kit, 'plates')];
}

export function plateNodes(kit: Kit): PartNode[] {
  return (kit.parsed.manifest?.plates ?? []).map(({ name }) => node(kit, 'plate', null, name));
}

/** The parts of a plate, each once, as far as the kit has them. */
export function platedNodes(kit: Kit, plate: string | null): PartNode[] {
  const found = kit.parsed.manifest?.plates.find(({ name }) => name === plate);
  const names = new Set(found?.parts.map(({ part }) => part));
  return kit.parts.filter(({ name }) => names.has(name)).map(({ name }) => node(kit, 'plated', name, plate));
}
