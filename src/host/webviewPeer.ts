import type * as vscode from 'vscode';
import {
  connect,
  type Handlers,
  type Methods,
  type Peer,
  type RpcMessage,
  type Transport,
} from '../protocol/rpc.ts';

/** Joins a webview to the host by the one RPC that every part of Kitwright speaks. */
export function connectWebview<Remote extends Methods, Local extends Methods>(
  webview: vscode.Webview,
  handlers: Handlers<Local>,
): Peer<Remote> {
  const transport: Transport = {
    send: (message) => void webview.postMessage(message),
    listen: (listener) => {
      const subscription = webview.onDidReceiveMessage((message) => listener(message as RpcMessage));
      return () => subscription.dispose();
    },
  };
  return connect<Remote, Local>(transport, handlers);
}
