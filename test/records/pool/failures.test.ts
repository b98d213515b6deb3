import pg from 'pg';
import { describe, expect, it } from 'vitest';
import { SavingUnsure, Unavailable } from '../../../src/chat/fault.js';
import { failedConnect, failureOf, NoAnswer } from '../../../src/records/pool/failures.js';

function said(code: string, severity = 'ERROR'): pg.DatabaseError {
  const error = new pg.DatabaseError(`what it says with ${code}`, 0, 'error');
  error.code = code;
  error.severity = severity;
  return error;
}

const HEARD = { unheard: false, isFinal: false };

describe('what the database says', () => {
  // PostgreSQL 17, appendix A, “PostgreSQL Error Codes”.
  it.each([
    ['57014', 'busy'],
    ['55P03', 'busy'],
    ['25P03', 'busy'],
    ['40P01', 'busy'],
    ['53200', 'busy'],
    ['53300', 'busy'],
    ['53100', 'read-only'],
    ['25006', 'read-only'],
    ['57P01', 'away'],
    ['57P02', 'away'],
    ['57P03', 'away'],
    ['57P05', 'away'],
    ['08006', 'away'],
    ['08P01', 'away'],
  ])('with %s is %s to those who ask', (code, why) => {
    const error = said(code);
    expect(failureOf(error, HEARD)).toMatchObject({ name: 'Unavailable', why, cause: error });
  });

  it.each(['23505', '42703', '42P01', '22003', 'XX000', '57P04'])(
    'with %s is a mistake, and stays what it is',
    (code) => {
      const error = said(code);
      expect(failureOf(error, HEARD)).toBe(error);
    },
  );

  it('says for sure that nothing was stored, unless the connection broke with it', () => {
    const full = said('53100');
    expect(failureOf(full, { unheard: false, isFinal: true })).toBeInstanceOf(Unavailable);
    expect(failureOf(full, { unheard: true, isFinal: true })).toBeInstanceOf(SavingUnsure);
  });

  it('is heard as something that is not from the database too', () => {
    const reset = Object.assign(new Error('read ECONNRESET'), { code: 'ECONNRESET' });
    const pipe = Object.assign(new Error('write EPIPE'), { code: 'EPIPE' });
    for (const error of [reset, pipe])
      expect(failureOf(error, { unheard: true, isFinal: false })).toMatchObject({ why: 'away' });
    expect(failureOf(new NoAnswer(1), { unheard: true, isFinal: false })).toMatchObject({ why: 'busy' });
    const mistake = new TypeError('no such thing');
    expect(failureOf(mistake, HEARD)).toBe(mistake);
  });

  it('while connecting is away, whatever it is, save where it takes no more just now', () => {
    expect(failedConnect(said('28P01', 'FATAL'))).toMatchObject({ why: 'away' });
    expect(failedConnect(new Error('connect ECONNREFUSED'))).toMatchObject({ why: 'away' });
    expect(failedConnect(said('53300', 'FATAL'))).toMatchObject({ why: 'busy' });
  });
});
