import path from 'node:path';
import * as vscode from 'vscode';
import { couponAdvice, couponText } from '../../core/trueSize/couponText.ts';
import { parseCouponMeasures } from '../../core/trueSize/parseCouponMeasures.ts';
import { readCoupon } from '../../core/trueSize/readCoupon.ts';
import { applyProposal } from '../../host/applyProposal.ts';
import { askEngine } from '../../host/askEngine.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import type { Services } from '../../host/services.ts';
import { targetOrTell } from '../../host/targetOrTell.ts';

/** The coupon that tells how a resin comes out: written to be printed, and its measures put into the manifest. */
export function registerCoupon(services: Services): vscode.Disposable {
  const command = (id: string, work: (services: Services, kit: Kit) => Promise<void>) =>
    vscode.commands.registerCommand(id, async (argument: unknown) => {
      const target = targetOrTell(services.kits, argument);
      if (target !== null) await work(services, target.kit);
    });
  return vscode.Disposable.from(
    command(commandIds.writeCoupon, write),
    command(commandIds.measureCoupon, measure),
  );
}

async function write(services: Services, kit: Kit): Promise<void> {
  const written = await askEngine(services, kit, 'Writing the coupon', (signal, onProgress) =>
    services.engine.call('coupon', { ...kit.source, out: null, format: 'stl' }, { signal, onProgress }),
  );
  if (written === undefined) return;
  const { file, volume_ml } = written;
  const reveal = 'Reveal';
  const said = `${path.basename(file)}: ${volume_ml.toFixed(1)} ml. ${couponAdvice.join(' ')}`;
  services.log.info(`Wrote ${file}. ${couponAdvice.join(' ')}`);
  if ((await vscode.window.showInformationMessage(said, reveal)) === reveal) {
    await vscode.commands.executeCommand('revealInExplorer', vscode.Uri.file(file));
  }
}

async function measure(services: Services, kit: Kit): Promise<void> {
  const resin = await chosenResin(kit);
  if (resin === undefined) return;
  const given = await vscode.window.showInputBox({
    title: `What the coupon measures, printed in ${resin}`,
    prompt: 'In mm, as far as measured: x and y along the arms, z of the post, foot, hole.',
    placeHolder: 'x=59.76, y=59.70, z=29.9, foot=60.1, hole=7.85',
    ignoreFocusOut: true,
    validateInput: (text) => (text.trim() === '' ? null : faultOf(text)),
  });
  const measures = given === undefined ? null : parseCouponMeasures(given);
  if (measures === null || !measures.ok) return;
  const { text, source } = kit;
  const params = { ...source, resin, measures: measures.value, write: false };
  const read = await askEngine(services, kit, 'Reading the coupon', (signal, onProgress) =>
    services.engine.call('readCoupon', params, { signal, onProgress }),
  );
  if (read === undefined) return;
  const told = couponText(resin, read.reading);
  services.log.info(told);
  if (!(await applyProposal(services, kit, text, read.manifestText, 'figures of the resin'))) return;
  void vscode.window.showInformationMessage(`${told.replaceAll('\n', ' ')} Undo takes it back.`);
}

/** Why a text gives no coupon; null where it does. */
function faultOf(text: string): string | null {
  const measures = parseCouponMeasures(text);
  if (!measures.ok) return measures.error.message;
  const reading = readCoupon(measures.value);
  return reading.ok ? null : reading.error.message;
}

async function chosenResin(kit: Kit): Promise<string | undefined> {
  const names = [...(kit.parsed.manifest?.resins.keys() ?? [])];
  if (names.length > 1)
    return vscode.window.showQuickPick(names, { title: 'Which resin was it printed in?' });
  if (names.length === 0)
    void vscode.window.showInformationMessage('Describe the resin under “resins:” first.');
  return names[0];
}
