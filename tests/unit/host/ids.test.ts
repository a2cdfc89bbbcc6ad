import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  commandIds,
  contextIds,
  manifestName,
  settingIds,
  viewIds,
  viewTypes,
} from '../../../src/host/ids.ts';

const manifest = JSON.parse(readFileSync(new URL('../../../package.json', import.meta.url), 'utf8'));
const { contributes } = manifest;

describe('ids and package.json', () => {
  it('name the same commands', () => {
    const contributed = contributes.commands.map(({ command }: { command: string }) => command);
    expect(contributed.sort()).toEqual(Object.values(commandIds).sort());
  });

  it('name the same settings', () => {
    expect(Object.keys(contributes.configuration.properties).sort()).toEqual(
      Object.values(settingIds).sort(),
    );
  });

  it('name the same views, with icons of the theme', () => {
    expect(contributes.views.kitwright.map(({ id }: { id: string }) => id)).toEqual(Object.values(viewIds));
    for (const { icon } of [...contributes.views.kitwright, ...contributes.viewsContainers.activitybar]) {
      expect(icon).toMatch(/^\$\([a-z-]+\)$/);
    }
    for (const { view } of contributes.viewsWelcome) expect(Object.values(viewIds)).toContain(view);
  });

  it('name the same viewer and manifest', () => {
    expect(contributes.customEditors.map(({ viewType }: { viewType: string }) => viewType)).toEqual([
      viewTypes.stl,
    ]);
    expect(contributes.yamlValidation[0].fileMatch).toEqual([manifestName]);
    // The first is found without a search, which the editor gives up on a busy machine.
    expect(manifest.activationEvents).toEqual([
      `workspaceContains:${manifestName}`,
      `workspaceContains:**/${manifestName}`,
    ]);
  });

  it('use only known context keys in when-clauses', () => {
    const known = [contextIds, commandIds, viewIds].flatMap((ids) => Object.values(ids) as string[]);
    const { menus, commands, walkthroughs, viewsWelcome } = contributes;
    const used = JSON.stringify([menus, commands, walkthroughs, viewsWelcome]).match(/kitwright\.\w+/g);
    expect(used!.filter((id) => !known.includes(id) && id !== 'kitwright.firstKit')).toEqual([]);
  });

  it('give every command a category, and menus only commands that exist', () => {
    for (const { command, category } of contributes.commands)
      expect([command, category]).toEqual([command, 'Kitwright']);
    const ids = Object.values(commandIds) as string[];
    for (const items of Object.values(contributes.menus) as { command: string }[][]) {
      for (const { command } of items) expect(ids).toContain(command);
    }
  });

  it('put at most one icon into the editor’s title', () => {
    expect(contributes.menus['editor/title']).toHaveLength(1);
  });

  it('ship the script and the styles of every page', () => {
    const shipped = readFileSync(new URL('../../../.vscodeignore', import.meta.url), 'utf8').split('\n');
    for (const page of ['turntable', 'kit']) {
      expect(shipped).toContain(`!dist/webview/${page}.js`);
      expect(shipped).toContain(`!dist/webview/${page}.css`);
    }
  });
});
