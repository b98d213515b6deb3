import { DiscordAPIError } from 'discord.js';
import { describe, expect, it } from 'vitest';
import { faultOf, isAnswered, isTooLate, whyClosed, whyRefused } from '../../src/discord/faults.js';

const refused = (code: number, status: number) =>
  new DiscordAPIError(
    { code, message: 'Unknown interaction' },
    code,
    status,
    'POST',
    'https://discord.com/api/v10/interactions/1/aW50ZXJhY3Rpb24/callback',
    { body: { data: { content: 'what somebody wrote' } }, files: undefined },
  );

describe('what is logged of an error', () => {
  it('says what happened, not the address with its token nor what people wrote', () => {
    const fault = faultOf(refused(10_062, 404));
    expect(fault).toMatchObject({ code: 10_062, status: 404 });
    expect(fault.error.message).toBe('Unknown interaction');
    const everything = JSON.stringify(fault) + JSON.stringify(Object.getOwnPropertyDescriptors(fault.error));
    expect(everything).not.toMatch(/aW50ZXJhY3Rpb24|somebody/);
  });

  it('is an error whatever was thrown', () => {
    expect(faultOf('a word').error.message).toBe('a word');
  });
});

// Opcodes and Status Codes › JSON Error Codes.
describe('what Discord answers', () => {
  it('means too late for an unknown or expired interaction, and not for an answered one', () => {
    const codes = [10_062, 50_027, 40_060, 50_035];
    expect(codes.map((code) => isTooLate(refused(code, 400)))).toEqual([true, true, false, false]);
    expect(codes.map((code) => isAnswered(refused(code, 400)))).toEqual([false, false, true, false]);
  });

  it('means closed for a channel that is gone or shut, and another try for anything else', () => {
    expect(whyClosed(refused(10_003, 404))).toBe('the channel is gone');
    expect(whyClosed(refused(50_013, 403))).toBe('the bot may not post there');
    expect(whyClosed(refused(50_035, 400))).toBeUndefined();
    expect(whyClosed(new Error('reset'))).toBeUndefined();
  });

  it('is a refusal with its reason where nobody knows whether it passes, and a wait in slow mode', () => {
    expect(whyRefused(refused(50_083, 400))).toEqual({
      kind: 'refused',
      why: 'the thread is archived (code 50083)',
    });
    expect(whyRefused(refused(99_999, 400))).toMatchObject({
      kind: 'refused',
      why: expect.stringContaining('99999'),
    });
    expect(whyRefused(refused(20_016, 400))).toEqual({ kind: 'later', why: 'the channel is in slow mode' });
    expect(whyRefused(new Error('reset'))).toBeUndefined();
  });
});
