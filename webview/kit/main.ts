import type { KitHostMethods, KitPageMethods } from '../../src/protocol/kitMessages.ts';
import { connect } from '../../src/protocol/rpc.ts';
import { watchTheme } from '../shared/watchTheme.ts';
import { webviewTransport } from '../shared/webviewTransport.ts';
import { createKit } from './kit.ts';

const api = acquireVsCodeApi();
const kit = createKit(document.getElementById('kitwright') ?? document.body, {
  savedState: api.getState(),
  saveState: (state) => api.setState(state),
  goToPart: (part) => tell('goToPart', { part }),
  showPart: (part) => tell('showPart', { part }),
});

const host = connect<KitHostMethods, KitPageMethods>(webviewTransport(api, window), {
  show: async (state) => {
    kit.show(state);
    return null;
  },
  surface: async (piece) => {
    kit.addSurface(piece);
    return null;
  },
});

/** The host shows its own failures where the builder looks for them; here they only must not be lost. */
function tell<K extends keyof KitHostMethods>(method: K, params: KitHostMethods[K]['params']): void {
  host.call(method, params).catch((error: unknown) => kit.say(String(error)));
}

const stopWatching = watchTheme(document, (theme) => kit.setTheme(theme));
window.addEventListener('pagehide', () => {
  stopWatching();
  kit.dispose();
  host.close({ code: 'cancelled', message: 'The kit was closed.' });
});
tell('ready', null);
