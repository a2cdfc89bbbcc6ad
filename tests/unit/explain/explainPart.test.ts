import { describe, expect, it } from 'vitest';
import { changeEffects } from '../../../src/core/explain/changeEffects.ts';
import { explainPart, type PartToExplain } from '../../../src/core/explain/explainPart.ts';
import type { Verdict } from '../../../src/core/explain/verdict.ts';
import { verdictOf } from '../../../src/core/explain/verdict.ts';
import { buildReport } from '../../../src/core/kit/buildReport.ts';
import { numberFindings } from '../../../src/core/kit/numberFindings.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { partRules } from '../../../src/core/kit/rules/measuredRules.ts';
import { loadAssumptions } from '../../../src/core/physics/constants.ts';
import { contextOf, cup, soundFacts, wallLoad } from '../kit/soundFacts.ts';

const hostileFile = 'parts/`$a$`|<img src=x onerror=alert(1)>![p](http://x.invalid)_*~#&amp;.stl';
const hostileKit =
  '<script>alert(1)</script>\n# Another heading\n| a | b |\n![p](data:text/html,x) [l](command:x)';

function explained(change: Partial<PartToExplain> = {}, facts = soundFacts()): PartToExplain {
  const { manifest, part } = contextOf(facts);
  const drafts = partRules({ manifest, part, facts });
  const { placeOf } = parseManifest('parts:\n  torso: {}\n');
  return {
    manifest,
    part,
    report: buildReport(facts, part, (at) => at),
    loads: facts.loads,
    findings: numberFindings(drafts, { file: 'kit.yaml', placeOf, toSource: (_part, at) => at }),
    assumptions: [...manifest.assumptions, ...loadAssumptions],
    verdict: verdictOf({ manifest, part, facts }),
    effects: [],
    notTried: [],
    ...change,
  };
}

const sealed = () => {
  const facts = soundFacts();
  const limb = {
    start: { layer: 10, at: [0, 0, 0.5] as const },
    layers: 34,
    peakAreaMm2: 200,
    peakPullN: 20,
  };
  return { ...facts, loads: { ...facts.loads, cups: [cup({ sealedLayers: 34, sealedLimbs: [limb] })] } };
};

/** Every picture of a document, decoded. */
const pictures = (markdown: string): string[] =>
  [...markdown.matchAll(/!\[[^\]]*\]\(data:image\/svg\+xml;charset=utf-8,([^)]*)\)/g)].map(([, data]) =>
    decodeURIComponent(data!),
  );

const withoutPictures = (markdown: string): string => markdown.replace(/\(data:[^)]*\)/g, '(…)');

describe('explainPart', () => {
  it('tells of lights through the part, with the caution; of none where there is none', () => {
    const plain = explained();
    expect(explainPart(plain)).not.toContain('## Light');
    const light = {
      name: 'wick*',
      path: [],
      diameter: 4,
      lining: 1.2,
      through: ['torso', 'head'].map((part, index) => ({ index, part })),
      carries: null,
      connector: null,
      leds: null,
    };
    const markdown = explainPart({
      ...plain,
      manifest: { ...plain.manifest, lights: [light, { ...light, name: 'other' }] },
      part: { ...plain.part, lights: [{ name: 'wick*', path: [], radiusMm: 2, liningMm: 1.2 }] },
    });
    expect(markdown).toContain(
      '- wick\\*: a tube of 4 mm, lined with 1.2 mm where it crosses a hollow; also through head.',
    );
    expect(markdown).not.toContain('other');
    expect(markdown).toContain('Low voltage only in the figure');
  });

  it('tells the walls that are strained most, with what they are taken for', () => {
    const facts = soundFacts();
    const strained = {
      ...facts,
      loads: { ...facts.loads, walls: [wallLoad({}), wallLoad({ strain: 0.04 })] },
    };
    const markdown = withoutPictures(explainPart(explained({}, strained)));
    expect(markdown).toContain(
      '| Wall of chamber 0 | a flat panel of 84 mm across and 110 mm long, its rim held: 9 MPa and 2.4 mm under suction, 6.2 kPa in layer 3, 240 % of its limit; bears 2.1 kPa |',
    );
    expect(markdown.match(/Wall of chamber/g)).toHaveLength(1);
  });

  it('tells how supports hold, where some are planned', () => {
    const facts = soundFacts();
    const at = [0, 0, 5] as const;
    const contact = { at, layer: 9, isStart: true, onShow: false, byHand: null, leastMm: 0.4 };
    const strut = {
      contact,
      tipMm: 0.4,
      loadN: 1,
      loadLayer: 9,
      line: [at, at],
      strutMm: 1,
      freeMm: 5,
      slender: false,
      trims: [],
    };
    const supports = {
      supports: [
        { ...strut, stands: 'plate' as const },
        { ...strut, stands: 'part' as const },
      ],
      ties: [],
      unreached: [],
      idle: [],
      offPlate: [],
      outside: null,
      reserve: new Float64Array(facts.layers.layers),
      worst: { reserve: 1.25, layer: 7, at },
      spacingMm: 4,
      heldSlopeDeg: 30,
      volumeMm3: 2500,
    };
    expect(explainPart(explained({}, { ...facts, supports }))).toContain(
      'Supports | 2, of them 1 on the part, 2.5 ml with their raft; the weakest takes 1.25 times its load, in layer 7',
    );
    expect(explainPart(explained())).not.toContain('Supports |');
  });

  it('has its parts in order, and three pictures each told in words', () => {
    const markdown = explainPart(explained());
    expect(markdown.match(/^#+ .*$/gm)).toEqual([
      '# torso',
      '## Figures',
      '## By layer',
      '## Findings',
      '## What would change the verdict most',
      '## Assumed',
    ]);
    expect(pictures(markdown)).toHaveLength(3);
    for (const svg of pictures(markdown)) {
      const told = svg.match(/<desc>(.*)<\/desc>/)![1]!;
      expect(markdown.split(told).length).toBeGreaterThanOrEqual(3);
    }
    expect(markdown).toContain('Pull by layer, from the plate: at most 12 N');
    expect(markdown).toMatch(/^\| 39 \| 1\.95 \| 390 \| 200 \| 12 \|$/m);
  });

  it('tells the cups that pull hardest by their numbers, and the rest in one row', () => {
    const { report, ...part } = explained();
    const [one] = report.cups;
    const pulls = [0.01, 41, 0.2, 3, ...Array.from({ length: 8 }, (_, n) => 10 + n)];
    const cups = pulls.map((pull) => ({ ...one!, peak_pull_n: pull, peak_area_mm2: 7 * pull }));
    const markdown = explainPart({ ...part, report: { ...report, cups } });
    const told = [...markdown.matchAll(/^\| Cup (\d+) \|/gm)].map(([, n]) => Number(n));
    expect(told).toEqual([1, 11, 10, 9, 8, 7, 6, 5]);
    expect(markdown).toMatch(/^\| 4 more cups \| at most 70 mm² and 10 N of suction each \|$/m);
    const few = explainPart({ ...part, report: { ...report, cups: cups.slice(0, 3) } });
    expect(few).toMatch(/^\| 2 more cups \| at most 1\.4\d* mm² and 0\.2 N of suction each \|$/m);
  });

  it('tells the figures of the report and no others', () => {
    const part = explained();
    const markdown = explainPart(part);
    const { report } = part;
    for (const figure of [
      `${report.mesh.size_mm.join(' × ')} mm`,
      `${report.mesh.volume_ml} ml`,
      `${report.print.mass_g} g`,
      `${report.print.hours} h`,
      `${report.print.peak_pull_n} N, layer ${report.print.peak_pull_layer}`,
      `${report.print.liquid_ml} ml from the bottle`,
      `${report.cups[0]!.peak_pull_n} N of suction`,
    ]) {
      expect(markdown).toContain(figure);
    }
  });

  it('tells of each finding what it is, why, its figures and the basis, and of the worst first', () => {
    const markdown = explainPart(explained({}, sealed()));
    expect(markdown).toContain('Worst: `sealed-cup`, 34 layers against 10 layers, 3.4 times.');
    expect(markdown).toContain('### error `sealed-cup` (kit\\.yaml, line 2)');
    expect(markdown).toContain('- Why: A cup stays sealed for more layers than it may.');
    expect(markdown).toContain('- Figures: measured 34 layers; limit 10 layers; at 0, 0, 0.5 mm in print.');
    expect(markdown).toContain('- Basis: limits\\.sealed-layers, common practice, no source.');
  });

  it('of a sound part tells the limit it comes nearest to', () => {
    expect(explainPart(explained())).toContain(
      '**Nothing found.** Nearest to a limit: `breathes-late`, 4 layers against 10 layers, 40 % of it.',
    );
  });

  it('tells what changes would do, and which do nothing or were not tried', () => {
    const part = explained({}, sealed());
    const { verdict } = part;
    const withUse = (measured: number, more: Partial<Verdict>): Verdict => ({
      ...verdict,
      uses: verdict.uses.map((use) => ({ ...use, measured, share: measured / 10 })),
      ...more,
    });
    const effects = changeEffects(verdict, [
      { what: 'nothing', after: verdict },
      { what: 'a little', after: withUse(30, {}) },
      { what: 'much', after: withUse(12, { errors: 1, peakPullN: 3.21 }) },
      { what: 'all', after: { ...verdict, uses: [], errors: 0 } },
    ]);
    const markdown = explainPart({ ...part, effects, notTried: ['a wall of 9 mm instead of 1.5'] });
    const rows = markdown
      .split('\n')
      .filter((line) => /^\| (as it stands|all|much|a little|nothing)/.test(line));
    expect(rows.map((line) => line.split(' | ').slice(0, 3).join(' | '))).toEqual([
      '| as it stands | 34 of 10 layers | 1',
      '| all | gone | 0',
      '| much | 12 of 10 layers | 1',
      '| a little | 30 of 10 layers | 1',
    ]);
    expect(rows[2]).toContain('3.21 N');
    expect(markdown).toContain('No effect: nothing.');
    expect(markdown).toContain('hollow it again for a question: a wall of 9 mm instead of 1.5.');
  });

  it('lists assumptions with their source, none of other parts or resins', () => {
    const { manifest } = explained();
    const assumptions = [
      { key: 'film.peel', value: 10, unit: 'kPa', basis: 'from memory' },
      { key: 'resins.slate.viscosity', value: 300, unit: 'mPa·s', basis: 'from memory' },
      { key: 'resins.bone.viscosity', value: 300, unit: 'mPa·s', basis: 'from memory' },
      { key: 'parts.arm.raise', value: 0, unit: 'mm', basis: 'from memory' },
      { key: 'physics.discharge', value: 0.62, unit: '1', basis: 'sharp-edged orifice' },
    ];
    const resins = new Map(manifest.resins).set('bone', manifest.resins.get('slate')!);
    const other = { ...manifest.parts[0]!, name: 'arm' };
    const part = explained({
      assumptions,
      manifest: { ...manifest, resins, parts: [...manifest.parts, other] },
    });
    const rows = explainPart(part)
      .split('## Assumed')[1]!
      .match(/^\| .*$/gm)!
      .slice(2);
    expect(rows).toEqual([
      '| film\\.peel | 10 kPa | from memory |',
      '| resins\\.slate\\.viscosity | 300 mPa·s | from memory |',
      '| physics\\.discharge | 0.62 | sharp-edged orifice |',
    ]);
  });

  it('shows hostile names and makes nothing of them', () => {
    const facts = soundFacts();
    const { manifest, part } = explained();
    const markdown = withoutPictures(
      explainPart(
        explained({
          manifest: { ...manifest, kit: hostileKit },
          part: { ...part, file: hostileFile },
          findings: [
            {
              ...explained({}, sealed()).findings[0]!,
              message: `The file ${hostileFile}\nof ${hostileKit} is not there.`,
              file: hostileFile,
            },
          ],
          assumptions: [{ key: hostileFile, value: hostileKit, unit: '', basis: hostileFile }],
          effects: [{ what: hostileFile, after: verdictOf({ manifest, part, facts }), worst: null }],
          notTried: [hostileKit],
        }),
      ),
    );
    expect(markdown.match(/^#+ .*$/gm)!.filter((line) => line.includes('Another heading'))).toEqual([]);
    expect(markdown).toContain('alert(1)');
    // Every sign that Markdown or HTML could make something of stands behind a backslash.
    const own = markdown
      .replace(/!\[[^\]\\]*\]\(…\)/g, '')
      .replace(/^\|.*\|$/gm, (row) => row.replace(/(^|[^\\])\|/g, '$1'))
      .replace(/^#+ /gm, '')
      .replace(/`[a-z.-]+`/g, '')
      .replace(/\*\*[^*\\]*\*\*/g, '');
    expect(own.match(/(?<!\\)[`*_[\]<>&|~$#!]/g)).toBeNull();
    expect(own).not.toMatch(/(?<!\\)(:\/\/|@)|\w\.invalid/);
  });

  it('is the same text twice', () => {
    expect(explainPart(explained())).toBe(explainPart(explained()));
  });
});
