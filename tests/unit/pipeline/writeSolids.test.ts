import { mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { asDrawn } from '../../../src/core/trueSize/trueSize.ts';
import { intoFolder } from '../../../src/pipeline/intoFolder.ts';
import { type NamedSolid, type ReadyTarget, writeSolids } from '../../../src/pipeline/writeSolids.ts';
import { icosphere } from '../../shapes.ts';

let out: string;
beforeEach(() => {
  out = mkdtempSync(join(tmpdir(), 'kitwright-'));
});
afterEach(() => rmSync(out, { recursive: true, force: true }));

const ball: NamedSolid = { mesh: icosphere(9, 6), volume: 3000, name: 'ball', type: 'model' };
const target = (format: ReadyTarget['format'], sources: string[] = []): ReadyTarget => ({
  name: 'ball',
  out,
  format,
  sources,
  resin: { trueSize: asDrawn },
});

describe.each(['stl', '3mf'] as const)('solids as %s', (format) => {
  it('are written a little at a time, and looked at by the interrupter all the while', async () => {
    const shares: number[] = [];
    await writeSolids([ball], '', false, target(format), (share) => shares.push(share));
    expect(shares.length).toBeGreaterThan(2);
    expect(shares.toSorted((a, b) => a - b)).toEqual(shares);
    expect(shares.at(-1)).toBeLessThanOrEqual(1);
    expect(readdirSync(out)).toEqual([`ball.${format}`]);
  });

  it('leave what was there when they are interrupted, and nothing beside it', async () => {
    const before = join(out, `ball.${format}`);
    writeFileSync(before, 'of an earlier time');
    let looks = 0;
    const cancel = (): void => {
      if (++looks > 1) throw new Error('enough');
    };
    await expect(writeSolids([ball], '', false, target(format), cancel)).rejects.toThrow('enough');
    expect(readdirSync(out)).toEqual([`ball.${format}`]);
    expect(readFileSync(before, 'utf8')).toBe('of an earlier time');
  });

  it('never go over a source, be it behind a link, and say where the disk refuses', async () => {
    const source = join(out, 'own.stl');
    writeFileSync(source, 'sculpt');
    symlinkSync(source, join(out, `ball.${format}`));
    const write = (to: ReadyTarget) =>
      intoFolder(to.out, () => writeSolids([ball], '', false, to, uninterrupted));
    const refused = await write(target(format, [source]));
    expect(refused).toMatchObject({ ok: false, error: { code: 'option-invalid' } });
    expect(readFileSync(source, 'utf8')).toBe('sculpt');
    const unwritable = await write({ ...target(format), out: join(source, 'below') });
    expect(unwritable).toMatchObject({ ok: false, error: { code: 'file-unwritable' } });
  });
});
