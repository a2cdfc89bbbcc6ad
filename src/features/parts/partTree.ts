import path from 'node:path';
import * as vscode from 'vscode';
import { escapeMarkdown } from '../../core/explain/escapeMarkdown.ts';
import { type PartState, worstFinding } from '../../core/kit/partState.ts';
import { figure, plural } from '../../core/kit/rules/figures.ts';
import { Disposables } from '../../host/disposables.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import type { Services } from '../../host/services.ts';
import {
  type Icon,
  type PartInput,
  partDescription,
  partLabel,
  partTooltip,
  stateIcons,
} from './partLook.ts';
import { kitNodes, type PartNode, platedNodes, plateNodes, rootNodes } from './partNodes.ts';

/** The parts of every kit with their states, before any of them is measured and as results come. */
export class PartTree implements vscode.TreeDataProvider<PartNode>, vscode.Disposable {
  readonly #services: Services;
  readonly #disposables = new Disposables();
  readonly onDidChangeTreeData: vscode.Event<undefined>;

  constructor(services: Services) {
    this.#services = services;
    const changed = this.#disposables.add(new vscode.EventEmitter<undefined>());
    this.onDidChangeTreeData = changed.event;
    this.#disposables.add(services.states.onDidChange(() => changed.fire(undefined)));
  }

  dispose(): void {
    this.#disposables.dispose();
  }

  getChildren(parent?: PartNode): PartNode[] {
    const kits = this.#services.kits.all().sort((a, b) => (a.dir < b.dir ? -1 : 1));
    if (parent === undefined) return rootNodes(kits);
    const kit = this.#kitOf(parent);
    if (kit === null) return [];
    if (parent.kind === 'kit') return kitNodes(kit);
    if (parent.kind === 'plates') return plateNodes(kit);
    return parent.kind === 'plate' ? platedNodes(kit, parent.plate) : [];
  }

  getTreeItem(node: PartNode): vscode.TreeItem {
    const kit = this.#kitOf(node);
    const item = kit === null ? new vscode.TreeItem('') : this.#item(kit, node);
    item.id = node.id;
    return item;
  }

  /** How the parts of a kit stand, in the manifest's order. */
  statesOf(kit: Kit): readonly PartState[] {
    return kit.parts.map(({ name }) => this.#services.states.of(kit, name));
  }

  #kitOf(node: PartNode): Kit | null {
    return this.#services.kits.get(vscode.Uri.parse(node.kit));
  }

  #item(kit: Kit, node: PartNode): vscode.TreeItem {
    switch (node.kind) {
      case 'kit':
        return this.#kitItem(kit);
      case 'plates':
        return platesItem(kit);
      case 'plate':
        return plateItem(kit, node);
      case 'note':
        return noteItem(kit, node);
      case 'part':
      case 'plated':
        return this.#partItem(kit, node);
    }
  }

  #kitItem(kit: Kit): vscode.TreeItem {
    const name = kit.parsed.manifest?.kit || path.basename(kit.dir);
    const item = new vscode.TreeItem(name, vscode.TreeItemCollapsibleState.Expanded);
    item.description = `${path.basename(kit.dir)} · ${plural(kit.parts.length, 'part')}`;
    item.iconPath = new vscode.ThemeIcon('package');
    item.contextValue = 'kit';
    return item;
  }

  #partItem(kit: Kit, node: PartNode): vscode.TreeItem {
    const input = this.#inputOf(kit, node.part!);
    const item = new vscode.TreeItem(input.name);
    item.description = partDescription(input);
    item.tooltip = new vscode.MarkdownString(partTooltip(input, escapeMarkdown));
    item.iconPath = themeIcon(stateIcons[input.state.kind]);
    item.accessibilityInformation = { label: partLabel(input) };
    item.contextValue = 'part';
    item.command = goTo(node);
    return item;
  }

  #inputOf(kit: Kit, name: string): PartInput {
    const part = kit.parts.find((candidate) => candidate.name === name);
    const findings = this.#services.diagnostics.of(kit);
    return {
      name,
      state: this.#services.states.of(kit, name),
      report: this.#services.parts.of(kit, name).report,
      resin: part?.resin ?? null,
      copies: (part?.count ?? 1) + (part?.mirrored ?? 0),
      worst: worstFinding(findings, name),
      findings: findings.filter((finding) => finding.part === name),
    };
  }
}

function platesItem(kit: Kit): vscode.TreeItem {
  const item = new vscode.TreeItem('Plates', vscode.TreeItemCollapsibleState.Collapsed);
  item.description = String(kit.parsed.manifest?.plates.length ?? 0);
  item.iconPath = new vscode.ThemeIcon('layout');
  item.contextValue = 'plates';
  return item;
}

function plateItem(kit: Kit, node: PartNode): vscode.TreeItem {
  const item = new vscode.TreeItem(node.plate!, vscode.TreeItemCollapsibleState.Collapsed);
  const report = kit.report?.value.plates[node.plate!] ?? null;
  item.description =
    report === null
      ? ''
      : `${figure(report.height_mm, 'mm')} high · ${figure(report.hours, 'h')} · ${figure(report.liquid_ml, 'ml')}`;
  item.iconPath = new vscode.ThemeIcon('layout-panel');
  item.contextValue = 'plate';
  item.command = goTo(node);
  return item;
}

function noteItem(kit: Kit, node: PartNode): vscode.TreeItem {
  const unreadable = kit.parsed.manifest === null;
  const item = new vscode.TreeItem(
    unreadable ? 'kit.yaml cannot be read' : 'No parts yet: add one under “parts:” in kit.yaml',
  );
  item.iconPath = new vscode.ThemeIcon(unreadable ? 'error' : 'info');
  item.command = goTo(node);
  return item;
}

const goTo = (node: PartNode): vscode.Command => ({
  title: 'Go to Part',
  command: commandIds.goToPart,
  arguments: [node],
});

const themeIcon = ({ name, colour }: Icon): vscode.ThemeIcon =>
  new vscode.ThemeIcon(name, colour === null ? undefined : new vscode.ThemeColor(colour));
