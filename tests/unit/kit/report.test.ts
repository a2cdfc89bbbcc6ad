import { describe, expect, it } from 'vitest';
import { buildReport } from '../../../src/core/kit/buildReport.ts';
import type { FindingDraft } from '../../../src/core/kit/finding.ts';
import { formatFinding, tally } from '../../../src/core/kit/formatFinding.ts';
import { inspectManifest } from '../../../src/core/kit/inspectManifest.ts';
import { numberFindings } from '../../../src/core/kit/numberFindings.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { lamplighter } from './lamplighter.ts';
import { contextOf, island, soundFacts } from './soundFacts.ts';

const half = (at: Vec3): Vec3 => [at[0] / 2, at[1] / 2, at[2] / 2];

describe('numberFindings', () => {
  const parsed = parseManifest(lamplighter);
  const places = {
    file: 'kit.yaml',
    placeOf: parsed.placeOf,
    toSource: (_part: string, at: Vec3) => half(at),
  };
  const drafts: FindingDraft[] = [
    {
      code: 'starts-in-air',
      part: 'lantern',
      path: ['parts', 'lantern'],
      atKey: true,
      message: 'b',
      layer: 9,
    },
    {
      code: 'starts-in-air',
      part: 'lantern',
      path: ['parts', 'lantern'],
      atKey: true,
      message: 'a',
      layer: 40,
    },
    {
      code: 'opening-through',
      part: 'torso',
      path: ['parts', 'torso', 'vents', 0, 'depth'],
      message: 'c',
      at: [1, 2, -0.00001],
      measured: 4.00049,
      limit: Number.POSITIVE_INFINITY,
      unit: 'mm',
      opening: 'vents/0',
      remedies: [
        { kind: 'depth', value: 3.00049 },
        { kind: 'move', at: [2, 4, 6.00001], opening: 'vents/1' },
        { kind: 'propose' },
      ],
    },
    { code: 'mesh-repaired', part: 'torso', path: ['parts', 'torso', 'file'], message: 'd' },
  ];
  const findings = numberFindings(drafts, places);

  it('numbers by the manifest’s order, then by layer, whatever order they come in', () => {
    expect(findings.map(({ number, message }) => [number, message])).toEqual([
      [1, 'd'],
      [2, 'c'],
      [3, 'b'],
      [4, 'a'],
    ]);
    expect(numberFindings([...drafts].reverse(), places)).toEqual(findings);
  });

  it('fills in severity, place, source point and rounded figures', () => {
    const line = lamplighter.split('\n').findIndex((text) => text.includes('depth: 4')) + 1;
    expect(findings[1]).toEqual({
      number: 2,
      code: 'opening-through',
      severity: 'error',
      part: 'torso',
      message: 'c',
      file: 'kit.yaml',
      line,
      column: lamplighter.split('\n')[line - 1]!.indexOf('4 }') + 1,
      end_line: line,
      end_column: lamplighter.split('\n')[line - 1]!.indexOf('4 }') + 2,
      layer: null,
      at: [1, 2, 0],
      at_source: [0.5, 1, 0],
      measured: 4,
      limit: null,
      unit: 'mm',
      opening: 'vents/0',
      remedies: [
        { kind: 'depth', opening: 'vents/0', value: 3, at: null, at_source: null, turn: null },
        { kind: 'move', opening: 'vents/1', value: null, at: [2, 4, 6], at_source: [1, 2, 3], turn: null },
        { kind: 'propose', opening: 'vents/0', value: null, at: null, at_source: null, turn: null },
      ],
    });
    expect(findings[0]!.remedies).toEqual([]);
  });

  it('are printed one a line, and tallied', () => {
    expect(formatFinding(findings[1]!)).toBe(
      `kit.yaml:${findings[1]!.line}:${findings[1]!.column} error opening-through c`,
    );
    expect(tally(findings)).toBe('3 errors, 0 warnings, 1 note');
    expect(tally([])).toBe('nothing found');
  });
});

describe('buildReport', () => {
  const facts = soundFacts();
  const withIsland = { ...facts, layers: { ...facts.layers, islands: [island({ at: [1.00049, 2, 3] })] } };
  const report = buildReport(withIsland, contextOf(facts, { count: 2, mirrored: 1 }).part, half);

  it('has the contract’s keys with units taken over', () => {
    expect(report.mesh).toMatchObject({
      triangles: 12,
      watertight: true,
      volume_ml: 48,
      size_mm: [40, 30, 40],
      repaired: [],
      cuts: [],
    });
    expect(report.hollow).toMatchObject({
      wall_mm: 1.5,
      solid_ml: 48,
      resin_ml: 18,
      thinnest_wall_mm: 1.49,
      left_solid: [],
    });
    expect(report.hollow.chambers).toEqual([
      {
        volume_ml: 30,
        openings: ['vents/0', 'drains/0'],
        trapped_ml: 0.1,
        drains: null,
        reach: null,
        at: [0, 0, 20],
        at_source: [0, 0, 10],
      },
    ]);
    expect(report.layers).toEqual({ count: 40, layer_mm: 0.05, peak_area_mm2: 390, peak_area_layer: 0 });
    expect(report.islands).toEqual([
      { layer: 20, area_mm2: 2, at: [1, 2, 3], at_source: [0.5002, 1, 1.5], inside: false },
    ]);
    expect(report.cups[0]).toMatchObject({
      from_layer: 10,
      joins_layer: 10,
      breathes_layer: 14,
      breather: 'vents/0',
      held_ml: 0.5,
    });
    expect(report.print).toEqual({
      resin_ml: 18,
      liquid_ml: 19,
      held_ml: 5,
      mass_g: 20.16,
      hours: 3.26,
      peak_pull_n: 12,
      peak_pull_layer: 3,
      vat_low_layer: null,
      footprint_mm2: 1200,
      count: 2,
      mirrored: 1,
    });
  });

  it('is plain JSON: nothing is lost on the way through text', () => {
    expect(JSON.parse(JSON.stringify(report))).toEqual(report);
  });
});

describe('inspectManifest', () => {
  const manifest = inspectManifest({
    name: 'torso',
    file: 'torso.stl',
    factor: 3.4,
    turn: [0, 0, 90],
    raise: 0,
    wall: null,
    layer: 0.1,
  });
  it('holds the options given, and says what else is assumed', () => {
    expect(manifest.machine.layer).toBe(0.1);
    expect(manifest.scale.factor).toBe(3.4);
    expect(manifest.parts).toHaveLength(1);
    const keys = manifest.assumptions.map(({ key }) => key);
    expect(keys).toContain('film.peel');
    expect(keys).toContain('assumed resin: viscosity');
    expect(keys).not.toContain('machine.layer');
  });
});
