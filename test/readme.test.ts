import { randomUUID } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Picture } from '../src/chat/reply.js';
import { SETTINGS } from '../src/config.js';
import { walkThroughDemo } from '../src/console/demo.js';
import { printOutcome } from '../src/console/print.js';
import { startSession, terminalPlatform } from '../src/console/session.js';
import { USUAL_LIMITS } from '../src/records/pool/limits.js';
import { NOW, openTalk, type Talk } from './support/talk.js';

const readme = readFileSync(new URL('../README.md', import.meta.url), 'utf8');
const weeklyPost = /<!-- weekly post:.*-->\n```text\n([\s\S]*?)```/.exec(readme)?.[1] ?? '';
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
    for (const [at, line] of lines.entries()) {
      const cook = { as: 'Cook', community: 'home', now: NOW, interaction: String(at + 1) };
      const outcome = await talk.hear(line.slice(2), cook);
      really += `${line}\n${await printOutcome(outcome, async ({ name }) => name)}\n`;
    }
    expect(conversation.trim()).toBe(really.trim());
  });

  it('shows the invented community’s weekly post as it really comes out, with its picture', async () => {
    let said = '';
    const say = (text: string): void => {
      said += text;
    };
    const pictures: Picture[] = [];
    let calls = 0;
    // As a clock does, it goes on: the last batch is older than the post.
    const clock = () => new Date(Date.parse(NOW) + 10 * ++calls);
    await walkThroughDemo({
      clock,
      write: say,
      dataDir: 'data/demo',
      sessionOf: (speaker, clockOf = clock, write = say) =>
        startSession({
          conversation: talk.conversation,
          speaker,
          json: false,
          clock: clockOf,
          newInteraction: randomUUID,
          platform: terminalPlatform,
          savePicture: async (picture) => {
            pictures.push(picture);
            return picture.name;
          },
          write,
        }),
    });
    const really = /> \/weekly preview\n([\s\S]*?)\n\n/.exec(said)?.[1] ?? 'no post';
    const withoutPicture = really.replace(/^ {2}Picture: .*\n/m, '');
    expect(weeklyPost.trim()).toBe(withoutPicture.trim());
    const picture = pictures.at(-1);
    const shown = /!\[(.*)\]\((docs\/weekly-post\.png)\)/.exec(readme);
    expect(shown?.[1]).toBe(picture?.alt);
    // Machines differ in the last digit of a curve, so the pixels are not compared.
    const file = readFileSync(new URL('../docs/weekly-post.png', import.meta.url));
    expect(file.subarray(0, 33)).toEqual(Buffer.from(picture?.png ?? []).subarray(0, 33));
  }, 60_000);

  it('lists every setting that the bot reads, each once, and no other', () => {
    const [, table = ''] = /^## Settings$([\s\S]*?)^## /m.exec(readme) ?? [];
    const listed = [...table.matchAll(/^\| `([A-Z_]+)` \|/gm)].map(([, setting]) => setting);
    expect(listed.sort()).toEqual([...SETTINGS].sort());
  });

  it.each([
    ['DATABASE_CONNECTIONS', USUAL_LIMITS.connections],
    ['DATABASE_WAIT_SECONDS', USUAL_LIMITS.waitMs / 1000],
    ['DATABASE_CONNECT_SECONDS', USUAL_LIMITS.connectMs / 1000],
    ['DATABASE_STATEMENT_SECONDS', USUAL_LIMITS.statementMs / 1000],
    ['DATABASE_LOCK_SECONDS', USUAL_LIMITS.lockMs / 1000],
    ['DATABASE_IDLE_SECONDS', USUAL_LIMITS.idleInTransactionMs / 1000],
  ])('says what %s is without being set', (setting, usual) => {
    expect(new RegExp(`^\\| \`${setting}\` \\|.*\\| \`(.*)\` \\|$`, 'm').exec(readme)?.[1]).toBe(
      String(usual),
    );
  });
});
