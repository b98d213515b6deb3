import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { SETTINGS } from '../src/config.js';
import { printOutcome } from '../src/console/print.js';
import { NOW, openTalk, type Talk } from './support/talk.js';

const readme = readFileSync(new URL('../README.md', import.meta.url), 'utf8');
const conversation = /<!-- conversation:.*-->\n```text\n([\s\S]*?)```/.exec(readme)?.[1] ?? '';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

describe('README.md', () => {
  it('shows a conversation that really comes out like that', async () => {
    const lines = conversation.split('\n').filter((line) => line.startsWith('> '));
    expect(lines.length).toBeGreaterThan(3);
    let really = '';
    for (const line of lines) {
      const outcome = await talk.hear(line.slice(2), { as: 'Cook', community: 'home', now: NOW });
      really += `${line}\n${await printOutcome(outcome, async ({ name }) => name)}\n`;
    }
    expect(conversation.trim()).toBe(really.trim());
  });

  it('names every setting that the bot reads', () => {
    for (const setting of SETTINGS) expect(readme).toContain(`\`${setting}\``);
  });
});
