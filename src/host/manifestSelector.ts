import type * as vscode from 'vscode';
import { manifestName } from './ids.ts';

/** Every provider of Kitwright is about manifests on disk, whatever language they are opened as. */
export const manifestSelector: vscode.DocumentFilter = { scheme: 'file', pattern: `**/${manifestName}` };
