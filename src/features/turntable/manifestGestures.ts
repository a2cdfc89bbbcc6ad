import * as vscode from 'vscode';
import type { TextEdit } from '../../core/kit/edits.ts';
import type { Part } from '../../core/kit/manifest.ts';
import { openingEdits, openingRemoval } from '../../core/kit/openingEdits.ts';
import { outlineEdits } from '../../core/kit/outlineEdits.ts';
import { capital, figure, openingName } from '../../core/kit/rules/figures.ts';
import { supportEdits } from '../../core/kit/supportEdits.ts';
import { knownLengthEdits } from '../../core/scale/scaleEdits.ts';
import { isStillThere, removingGestures } from '../../core/supports/handGestures.ts';
import { norm, subtract, type Vec3 } from '../../core/vector.ts';
import type { Kit } from '../../host/kits.ts';
import type { Services } from '../../host/services.ts';
import type { ViewEdits } from '../../host/turntableView.ts';
import { workspaceEdit } from '../../host/workspaceEdit.ts';
import type { KitSource, TryOpeningParams, TrySupportParams } from '../../protocol/engineApi.ts';
import type { PartScene } from '../../protocol/partView.ts';
import { RpcError } from '../../protocol/rpc.ts';
import { sourceOutline, toSource } from './sourceOutline.ts';

/**
 * Gestures on the turntable as edits of the manifest: one finished gesture is one edit, which one undo
 * takes back, and view and check follow at once.
 */
export function manifestGestures(
  services: Services,
  kit: Kit,
  scene: () => PartScene | null,
): Omit<ViewEdits, 'takePose'> {
  const { engine, kits, log } = services;
  const tryOpening = remembering('opening', (params: TryOpeningParams, signal) =>
    engine.call('tryOpening', params, { signal }),
  );
  const trySupport = remembering('support', (params: TrySupportParams, signal) =>
    engine.call('trySupport', params, { signal }),
  );

  /** Keeps the last answer, with what it is about: a gesture ends where it was last tried. */
  function remembering<Candidate, Trial>(
    what: string,
    ask: (
      params: KitSource & { readonly part: string; readonly candidate: Candidate },
      signal: AbortSignal,
    ) => Promise<Trial>,
  ) {
    let last: { readonly asked: string; readonly trial: Trial } | null = null;
    return async (part: string, candidate: Candidate, signal: AbortSignal): Promise<Trial> => {
      if (!engine.allowed) throw new RpcError(untrusted);
      const { text, source } = kit;
      const asked = JSON.stringify([text, part, candidate]);
      if (last?.asked === asked) return last.trial;
      const started = performance.now();
      const trial = await ask({ ...source, part, candidate }, signal);
      log.debug(`${what} tried in ${(performance.now() - started).toFixed(0)} ms`);
      last = { asked, trial };
      return trial;
    };
  }

  function partOf(name: string): Part {
    const part = kit.parts.find((one) => one.name === name);
    if (part === undefined)
      throw new RpcError({ code: 'part-unknown', message: `kit.yaml has no part ${name} any more.` });
    return part;
  }

  async function apply(edits: readonly TextEdit[] | null, text: string): Promise<void> {
    if (edits === null) throw new RpcError(byHand);
    if (edits.length === 0) return;
    const document = await vscode.workspace.openTextDocument(kit.uri);
    if (document.getText() !== text || kit.text !== text) throw new RpcError(changed);
    const done = await vscode.workspace.applyEdit(workspaceEdit(document, edits));
    if (!done) throw new RpcError(changed);
    kits.hurry(kit);
  }

  return {
    tryOpening: ({ part, candidate }, signal) => tryOpening(part, candidate, signal),
    async putOpening({ part, candidate }, signal) {
      const { text } = kit;
      const { id, at } = await tryOpening(part, candidate, signal);
      await apply(openingEdits(text, partOf(part), { ...candidate, at }), text);
      const what = candidate.id === null ? 'placed' : 'changed';
      return { said: `${capital(openingName(id))} ${what} in kit.yaml.` };
    },
    async removeOpening({ part, id }) {
      const { text } = kit;
      await apply(openingRemoval(text, partOf(part), id), text);
      return { said: `${capital(openingName(id))} removed from kit.yaml.` };
    },
    trySupport: ({ part, candidate }, signal) => trySupport(part, candidate, signal),
    async putSupport({ part, candidate }, signal) {
      const { text } = kit;
      const { gestures } = await trySupport(part, candidate, signal);
      await apply(supportEdits(text, partOf(part).name, gestures), text);
      return { said: `Support ${candidate.was === null ? 'placed' : 'changed'} in kit.yaml.` };
    },
    async removeSupport({ part, was }) {
      const { text, parsed } = kit;
      const posed = scene();
      const factor = parsed.manifest?.scale.factor ?? null;
      if (posed?.part !== part || factor === null) throw new RpcError(changed);
      const atSource = toSource(was.at, posed.toPrint, factor);
      const { supports } = partOf(part);
      const tip = { ...was, atSource };
      if (supports === null || !isStillThere(tip, supports.byHand, factor)) throw new RpcError(changed);
      const gestures = removingGestures(tip, supports.spacing);
      await apply(supportEdits(text, part, gestures), text);
      return {
        said:
          was.byHand === null
            ? 'Its place is kept free of planned supports in kit.yaml.'
            : 'Support removed from kit.yaml.',
      };
    },
    async putLength({ part, ends, length }) {
      const { text, parsed } = kit;
      const posed = scene();
      const { factor, finished } = parsed.manifest?.scale ?? { factor: null, finished: null };
      if (posed?.part !== part || factor === null) throw new RpcError(changed);
      if (!(length.mm > 0 && length.mm <= mostMm)) throw new RpcError(noLength);
      if (length.where === 'subject' && finished === null) throw new RpcError(noRatio);
      const [a, b] = ends.map((end) => toSource(end, posed.toPrint, factor)) as [Vec3, Vec3];
      const source = norm(subtract(a, b));
      if (!(source > 0)) throw new RpcError(noLength);
      const known = { kind: length.where, mm: length.mm };
      const edits = knownLengthEdits(text, { source, between: [a, b], known });
      await apply(edits, text);
      return {
        said: `${figure(source, 'units')} for ${figure(length.mm, 'mm')} are in scale.from of kit.yaml now.`,
      };
    },
    async markShow({ part, outline, facing }) {
      const { text, parsed } = kit;
      const posed = scene();
      const factor = parsed.manifest?.scale.factor ?? null;
      if (posed?.part !== part || factor === null) throw new RpcError(changed);
      const source = sourceOutline({ outline, facing }, posed.toPrint, factor);
      await apply(outlineEdits(text, partOf(part), source), text);
      return { said: `An outline of ${outline.length} points is marked as show side in kit.yaml.` };
    },
  };
}

/** As the key table has it: what is larger is a slip of the keys. */
const mostMm = 1e9;

const noLength = {
  code: 'option-invalid',
  message: 'Both ends lie in one place, or the length is none.',
} as const;

const noRatio = {
  code: 'option-invalid',
  message:
    'A length on the subject needs the scale of the finished figure: write finished: "1:4" under scale first, or give the length in print.',
} as const;

const untrusted = {
  code: 'cancelled',
  message: 'This folder is not trusted, so its parts are not read.',
} as const;

const byHand = {
  code: 'manifest-unreadable',
  message:
    'This entry stands in kit.yaml in a way that cannot be edited by itself (over several lines, or shared by an anchor). Change it by hand.',
} as const;

const changed = {
  code: 'cancelled',
  message: 'kit.yaml changed meanwhile, so it was left alone. Do it again.',
} as const;
