import { USUAL_LIMITS } from '../../src/records/pool/limits.js';
import { openStore, type Store, type StoreOptions } from '../../src/records/store.js';

/** Opens the records as the bot does when it starts, without a word to anybody. */
export const openQuietStore = (options: Partial<StoreOptions>): Promise<Store> =>
  openStore({
    databaseUrl: undefined,
    limits: USUAL_LIMITS,
    dataDir: 'not used',
    now: new Date(),
    passing: false,
    log: { debug: () => {}, info: () => {}, warn: () => {} },
    announce: () => {},
    onLockLost: () => {},
    ...options,
  });
