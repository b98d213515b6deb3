import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { TERMINAL } from '../src/chat/call.js';
import type { Command } from '../src/chat/command.js';
import { converse } from '../src/chat/dispatch.js';
import { anyChannel } from './support/talk.js';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
const handbook = readFileSync(join(ROOT, 'DEVELOPERS.md'), 'utf8');

/** The blocks of code of the handbook, each with the file that its first line names. */
const blocks = [...handbook.matchAll(/^ *```ts\n( *)\/\/ (\S+)\n([\s\S]*?)^ *```$/gm)].map(
  ([, indent = '', file = '', code = '']) => ({
    file,
    code: code.replaceAll(new RegExp(`^${indent}`, 'gm'), ''),
  }),
);

let folder: string;
beforeAll(() => {
  mkdirSync(join(ROOT, 'data'), { recursive: true });
  // Inside the checkout, so that packages are found; beside its own sources, so that what they import is.
  folder = mkdtempSync(join(ROOT, 'data', 'handbook-'));
  symlinkSync(join(ROOT, 'src'), join(folder, 'src'));
  for (const { file, code } of blocks) {
    mkdirSync(dirname(join(folder, file)), { recursive: true });
    writeFileSync(join(folder, file), code);
  }
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('DEVELOPERS.md', () => {
  it('has no block of code that is not checked', () => {
    expect(blocks.map(({ file }) => file)).toEqual(['commands/jars.ts']);
    expect(handbook.match(/```ts/g)).toHaveLength(blocks.length);
  });

  it('shows code that compiles as strictly as our own', { timeout: 60_000 }, () => {
    const config = {
      extends: join(ROOT, 'tsconfig.json'),
      compilerOptions: { noEmit: true, rootDir: ROOT },
      include: [],
      files: blocks.map(({ file }) => file),
    };
    writeFileSync(join(folder, 'tsconfig.json'), JSON.stringify(config));
    const tsc = join(ROOT, 'node_modules', '.bin', 'tsc');
    expect(() => execFileSync(tsc, ['--project', folder], { stdio: 'pipe', encoding: 'utf8' })).not.toThrow();
  });

  it('shows a command that works, and its button', async () => {
    const { jars } = (await import(pathToFileURL(join(folder, 'commands', 'jars.ts')).href)) as {
      jars: () => Command;
    };
    const faults: unknown[] = [];
    const { answer } = converse([jars()], (fault) => faults.push(fault));
    const origin = {
      member: { id: 'cook', name: 'Cook', mayManage: false },
      community: 'home',
      where: 'server',
      channel: undefined,
      interaction: 'one',
      now: new Date('2026-11-25T18:00:00Z'),
      platform: anyChannel,
      application: TERMINAL,
    } as const;
    const asked = await answer({ kind: 'command', path: ['jars'], given: { tallow: '1 kg' } }, origin);
    // 1 kg at 0.89 to 0.91 g/ml (density of tallow, from memory) is 1.1 L: two pints (473 ml each) do not hold it, three do.
    expect(asked).toMatchObject({ kind: 'reply', figures: { tallowG: 1000, jars: 3 } });
    const id = asked.kind === 'reply' ? (asked.actions[0]?.id ?? '') : '';
    const pressed = await answer({ kind: 'press', id, fields: {} }, origin);
    expect(pressed).toMatchObject({ kind: 'reply', figures: { tallowG: 1000, jars: 6 } });
    expect(faults).toEqual([]);
  });
});
