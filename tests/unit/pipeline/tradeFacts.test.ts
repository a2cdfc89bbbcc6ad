import { describe, expect, it } from 'vitest';
import { box, sphere, transformed, turned } from '../../shapes.ts';
import { measureOne, type One } from './measureOne.ts';

/** Trade facts (common practice, no source), on whole parts: 300 mPa·s, 60 mm/min, 0.05 mm, wall 1.5 mm. */
const kit = `machine: { plate: [192, 140], height: 200, layer: 0.05, lift: { distance: 7, up: 60, down: 150 } }
resins: { slate: { viscosity: 300 } }
defaults: { wall: 1.5, resin: slate }`;

const codes = ({ findings }: One): string[] => findings.map(({ code }) => code);
const said = ({ findings }: One, code: string): string =>
  findings.flatMap((finding) => (finding.code === code ? [finding.message] : [])).join(' ');

describe('a chest 120 mm wide and 90 mm deep, its floor level', () => {
  const chest = box([120, 90, 60]);
  /** A vent through the front, its plate-side edge where the hollow starts: 6.5 mm above the plate, raised by 5. */
  const vented = (diameter: number) =>
    measureOne(
      chest,
      `raise: 5, vents: [{ at: [0, -45, ${-28.5 + diameter / 2}], diameter: ${diameter} }]`,
      kit,
    );
  const floorLayer = 130;

  it('with a hole of 2 mm pulls so hard that it is an error', async () => {
    const part = await vented(2);
    // The hole is whole from 8.5 mm on; the cavity is 8 mm deep at 14.5 mm.
    expect(part.suction(289)).toBeGreaterThan(100);
    expect(codes(part)).toContain('pull-high');
    expect(part.facts.loads.cups[0]!.limitedBy).not.toBeNull();
  }, 60_000);

  it.each([14, 15])(
    'with a vent of %i mm pulls with under 1 N once that is wholly printed',
    async (diameter) => {
      const part = await vented(diameter);
      const whole = floorLayer + Math.ceil(diameter / 0.05);
      for (let layer = whole; layer < whole + 600; layer += 50) expect(part.suction(layer)).toBeLessThan(1);
      // It joins the outside in the first layers, and does not breathe there: the floor is flat.
      const [cup] = part.facts.loads.cups;
      expect(cup!.joinsLayer! - floorLayer).toBeLessThanOrEqual(10);
      expect(cup!.breathesLayer! - floorLayer).toBeGreaterThan(10);
    },
    60_000,
  );

  it('is told as the fault of the pose, and no vent is offered', async () => {
    // Four mouths from the plate's side, all over the floor: nothing is left but the squeeze.
    const mouths = ['30, 20', '-30, 20', '30, -20', '-30, -20'].map(
      (at) => `{ at: [${at}, -30], diameter: 15 }`,
    );
    const part = await measureOne(chest, `raise: 5, vents: [${mouths.join(', ')}]`, kit);
    const late = said(part, 'breathes-late');
    expect(late).toContain('no vent helps');
    expect(late).toContain('tilt the part');
    expect(late).not.toContain('wider');
    expect(part.facts.loads.cups[0]!.limitedBy).toBe('squeeze');
    expect(part.facts.loads.cups[0]!.neededVentMm).toBeNull();
  }, 60_000);
});

describe('with a domed or a tilted floor breathing within the first layers is reachable', () => {
  it('a ball 120 mm wide over one vent of 15 mm', async () => {
    const part = await measureOne(
      sphere(60, 256),
      'raise: 5, vents: [{ at: [0, 0, -60], diameter: 15 }]',
      kit,
    );
    const [cup] = part.facts.loads.cups;
    expect(cup!.joinsLayer! - cup!.fromLayer).toBeLessThanOrEqual(10);
    expect(cup!.breathesLayer! - cup!.fromLayer).toBeLessThanOrEqual(10);
    expect(codes(part)).not.toContain('breathes-late');
  }, 60_000);

  it('the chest tilted by 30° onto its edge, a vent beside the edge', async () => {
    const turn = [30, 0, 0] as const;
    const chest = transformed(box([120, 90, 60]), { turn });
    // In the front, beside the edge that the tilt brings down.
    const at = turned([0, -45, -21], turn);
    const part = await measureOne(chest, `raise: 5, vents: [{ at: [${at.join(', ')}], diameter: 15 }]`, kit);
    const [cup] = part.facts.loads.cups;
    expect(cup!.joinsLayer! - cup!.fromLayer).toBeLessThanOrEqual(10);
    expect(cup!.breathesLayer! - cup!.fromLayer).toBeLessThanOrEqual(10);
    expect(codes(part)).not.toContain('breathes-late');
  }, 60_000);
});
