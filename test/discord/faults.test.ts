import { DiscordAPIError } from 'discord.js';
import { describe, expect, it } from 'vitest';
import { faultOf, isTooLate, whyClosed } from '../../src/discord/faults.js';

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
  it('means too late for an unknown, answered or expired interaction', () => {
    expect([10_062, 40_060, 50_027].map((code) => isTooLate(refused(code, 400)))).toEqual([true, true, true]);
    expect(isTooLate(refused(50_035, 400))).toBe(false);
  });

  it('means closed for a channel that is gone or shut, and another try for anything else', () => {
    expect(whyClosed(refused(10_003, 404))).toBe('the channel is gone');
    expect(whyClosed(refused(50_013, 403))).toBe('the bot may not post there');
    expect(whyClosed(refused(50_035, 400))).toBeUndefined();
    expect(whyClosed(new Error('reset'))).toBeUndefined();
  });
});
