import { describe, expect, it } from 'vitest';
import { allCommands } from '../../commands/index.js';
import { converse } from '../../src/chat/dispatch.js';
import type { Reply } from '../../src/chat/reply.js';
import { TROUBLE_CHOICES } from '../../src/cooking/troubles.js';
import { openRecords } from '../../src/records/database.js';
import { spokenLength } from '../support/spoken.js';
import { speak } from '../support/talk.js';

/** It looks nothing up. */
const nowhere = openRecords('postgres://nobody@127.0.0.1:1/none', () => {});
const conversation = converse(allCommands(nowhere), () => {});

async function about(what: string): Promise<Reply> {
  const answer = await speak(conversation, `/trouble about:"${what}"`);
  if (answer.kind !== 'reply') throw new Error(`${what} was not answered`);
  return answer;
}
const saidAbout = async (what: string) => {
  const { title, lines } = await about(what);
  return [title, ...lines].join(' ');
};

describe('/trouble', () => {
  it.each(TROUBLE_CHOICES.map(({ value }) => value))(
    'is answered in 2 to 4 lines with a source: %s',
    async (what) => {
      const reply = await about(what);
      const { words, phoneLines } = await spokenLength(reply);
      expect(1 + reply.lines.length).toBeGreaterThanOrEqual(2);
      expect(1 + reply.lines.length).toBeLessThanOrEqual(4);
      expect([what, words, words <= 60, phoneLines <= 14]).toEqual([what, words, true, true]);
      expect(reply.sources.length).toBeGreaterThan(0);
      expect(await saidAbout(what)).not.toMatch(/!/);
    },
  );

  // Extension advice on lard (weak copies): 255 °F, bubbling stopped, cracklings brown and sinking. At least 2 h when wet:
  // common practice, no source.
  it('tells when a render is done by what is seen, in degrees where it is dry, by time where it is wet', async () => {
    expect(await saidAbout('is it done')).toMatch(
      /Dry: bubbling has stopped.*brown and sink.*255 °F \(124 °C\).*Wet: 2 h or more/,
    );
  });

  // No published figure for a home was found; salt does not dissolve in fat (general chemistry, from memory).
  it('owns up to what nobody knows', async () => {
    expect(await saidAbout('washing')).toMatch(/not known here/);
    expect(await saidAbout('too smoky')).toMatch(/known here/);
  });

  // USDA FSIS, Danger Zone: 2 hours. Cold storage chart: soups and stews 3 to 4 days.
  it('throws away what was wet too long', async () => {
    expect(await saidAbout('watery layer')).toMatch(/4 days.*2 h/);
    expect(await saidAbout('rancid')).toMatch(/^Throw it away/);
  });

  // NFPA, Cooking Oil Safety: frothing fat comes off the heat at once. NC State: away with frying fat that foams.
  it('meets foam at the stove before foam in the jar', async () => {
    expect(await saidAbout('foaming')).toMatch(/^Rising: heat off.*used up/);
  });

  // Textbook of food chemistry, 2011: beef tallow melts at 40 to 50 °C.
  it('knows where tallow sets', async () => {
    expect(await saidAbout('will not set')).toContain('104 °F (40 °C)');
  });
});
