import { randomBytes } from 'node:crypto';
import * as vscode from 'vscode';

export interface WebviewPage {
  /** Bundle name under dist/webview: `turntable` loads turntable.js and turntable.css. */
  readonly bundle: string;
  readonly title: string;
}

/** The only folder a webview may load from. */
export function webviewRoots(extensionUri: vscode.Uri): vscode.Uri[] {
  return [vscode.Uri.joinPath(extensionUri, 'dist', 'webview')];
}

/** The page of a webview: nothing from outside, scripts by nonce only, styles from the package. */
export function webviewHtml(webview: vscode.Webview, extensionUri: vscode.Uri, page: WebviewPage): string {
  const nonce = randomBytes(16).toString('base64url');
  const asset = (name: string) =>
    webview.asWebviewUri(vscode.Uri.joinPath(extensionUri, 'dist', 'webview', name)).toString();
  const policy = [
    `default-src 'none'`,
    `script-src 'nonce-${nonce}'`,
    `style-src ${webview.cspSource}`,
    `img-src ${webview.cspSource} data:`,
    `font-src ${webview.cspSource}`,
  ].join('; ');
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escapeHtml(page.title)}</title>
<link rel="stylesheet" href="${asset(`${page.bundle}.css`)}">
</head>
<body>
<div id="kitwright"></div>
<script nonce="${nonce}" src="${asset(`${page.bundle}.js`)}"></script>
</body>
</html>`;
}

function escapeHtml(text: string): string {
  return text.replace(/[&<>"]/g, (sign) => `&#${sign.charCodeAt(0)};`);
}
