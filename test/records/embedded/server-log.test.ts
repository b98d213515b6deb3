import { describe, expect, it } from 'vitest';
import { complaintIn } from '../../../src/records/embedded/server-log.js';

describe('what is told of Postgres’ own words', () => {
  it.each([
    [
      'running bootstrap script ... 2026-11-25 22:27:40.739 UTC [6381] FATAL:  could not write to file "pg_wal/xlogtemp.6381": No space left on device\nchild process exited with exit code 1\n',
      'could not write to file "pg_wal/xlogtemp.6381": No space left on device',
    ],
    [
      'running bootstrap script ... 2026-11-25 22:27:41.066 UTC [6393] FATAL:  could not extend file "base/1/2691": wrote only 4096 of 8192 bytes at block 16\n2026-11-25 22:27:41.066 UTC [6393] HINT:  Check free disk space.\n2026-11-25 22:27:41.068 UTC [6393] PANIC:  cannot abort transaction 1, it was already committed\n',
      'could not extend file "base/1/2691": wrote only 4096 of 8192 bytes at block 16 (is the disk full?)',
    ],
    [
      'initdb: error: could not create directory "/data/x": Permission denied\n',
      'could not create directory "/data/x": Permission denied',
    ],
    [
      '2026-11-25 22:27:41 UTC [1] FATAL:  the database system is starting up\n2026-11-25 22:27:42 UTC [1] FATAL:  lock file "postmaster.pid" is empty\n',
      'lock file "postmaster.pid" is empty',
    ],
    ['2026-11-25 22:27:41 UTC [1] LOG:  database system is shut down\n', undefined],
  ])('%j', (text, told) => {
    expect(complaintIn(text)).toBe(told);
  });
});
