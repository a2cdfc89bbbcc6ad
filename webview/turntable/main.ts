import { connect } from '../../src/protocol/rpc.ts';
import type { HostMethods, WebviewMethods } from '../../src/protocol/viewMessages.ts';
import { watchTheme } from '../shared/watchTheme.ts';
import { webviewTransport } from '../shared/webviewTransport.ts';
import { createTurntable } from './turntable.ts';

const api = acquireVsCodeApi();
const turntable = createTurntable(document.getElementById('kitwright') ?? document.body, {
  savedState: api.getState(),
  saveState: (state) => api.setState(state),
  revealFinding: (number) => tell('revealFinding', { number }),
  revealOpening: (id) => tell('revealOpening', { id }),
  makeReady: () => tell('makeReady', null),
  cancel: () => tell('cancel', null),
  copyText: (text) => tell('copyText', { text }),
  takePose: (part, number) => host.call('takePose', { part, number }),
  closePoses: () => tell('closePoses', null),
  looked: (look) => host.call('looked', look),
  edits: (part) => ({
    tryOpening: (candidate) => host.call('tryOpening', { part, candidate }),
    putOpening: (candidate) => host.call('putOpening', { part, candidate }),
    removeOpening: (id) => host.call('removeOpening', { part, id }),
    trySupport: (candidate) => host.call('trySupport', { part, candidate }),
    putSupport: (candidate) => host.call('putSupport', { part, candidate }),
    removeSupport: (was) => host.call('removeSupport', { part, was }),
    markShow: (outline, facing) => host.call('markShow', { part, outline, facing }),
    putLength: (ends, length) => host.call('putLength', { part, ends, length }),
  }),
});

const host = connect<HostMethods, WebviewMethods>(webviewTransport(api, window), {
  show: async (state) => {
    turntable.show(state);
    return null;
  },
  surface: async (piece) => {
    turntable.addSurface(piece);
    return null;
  },
  revealFlag: async ({ number }) => {
    turntable.revealFlag(number);
    return null;
  },
  showPoses: async ({ choice, focus }) => {
    turntable.showPoses(choice, focus);
    return null;
  },
  cutAtLayer: async ({ layer }) => {
    turntable.cutAtLayer(layer);
    return null;
  },
  standBeside: async (beside) => {
    turntable.standBeside(beside);
    return null;
  },
  follow: async (look) => {
    turntable.follow(look);
    return null;
  },
});

/** The host shows its own failures where the builder looks for them; here they only must not be lost. */
function tell<K extends keyof HostMethods>(method: K, params: HostMethods[K]['params']): void {
  host.call(method, params).catch((error: unknown) => turntable.say(String(error)));
}

const stopWatching = watchTheme(document, (theme) => turntable.setTheme(theme));
window.addEventListener('pagehide', () => {
  stopWatching();
  turntable.dispose();
  host.close({ code: 'cancelled', message: 'The turntable was closed.' });
});
tell('ready', null);
