import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eraseCommunity } from '../../src/records/communities.js';
import { openRecords, type Records } from '../../src/records/database.js';
import {
  changeKitchen,
  kitOf,
  MOST_VESSELS,
  type NamedOwner,
  removeVessel,
  saveVessel,
  type Vessel,
} from '../../src/records/kit.js';
import { inOwnCommunity } from '../support/own-community.js';
import { freshDatabase } from '../support/postgres.js';

const NOW = new Date('2026-11-25T18:00:00Z');
const ownerIn = (community: string, id = 'tansy'): NamedOwner => ({
  community,
  member: { id, name: 'Tansy' },
});
const pot = (name: string, capacityMl = 11_000): Vessel => ({
  name,
  kind: 'pot',
  capacityMl,
  diameterCm: undefined,
});

let db: Records;
let drop: () => Promise<void>;
beforeAll(async () => {
  const database = await freshDatabase();
  db = inOwnCommunity(openRecords(database.connectionString, () => {}));
  drop = database.drop;
});
afterAll(async () => {
  await db.destroy();
  await drop();
});

describe('a kit', () => {
  it('is empty for somebody who has said nothing', async () => {
    const { vessels, kitchen } = await kitOf(db, ownerIn('nowhere'));
    expect(vessels).toEqual([]);
    expect(Object.values(kitchen).filter((value) => value !== undefined)).toEqual([]);
  });

  it('keeps what was said of the kitchen and changes only what is named', async () => {
    const owner = ownerIn('kitchens');
    await changeKitchen(db, owner, { altitudeM: 1609.344, burnerW: 1800, burnerKind: 'gas' }, NOW);
    await changeKitchen(db, owner, { burnerW: 2200, waterStartC: 12 }, NOW);
    expect((await kitOf(db, owner)).kitchen).toEqual({
      altitudeM: 1609.344,
      burnerW: 2200,
      burnerKind: 'gas',
      waterStartC: 12,
      fatStartC: undefined,
      pricePerKWh: undefined,
    });
    await changeKitchen(db, owner, { burnerW: null, burnerKind: null }, NOW);
    expect((await kitOf(db, owner)).kitchen.burnerW).toBeUndefined();
    expect((await kitOf(db, owner)).kitchen.altitudeM).toBe(1609.344);
  });

  it('replaces a vessel of the same name, whatever its case', async () => {
    const owner = ownerIn('names');
    expect(await saveVessel(db, owner, pot('Stock pot'), NOW)).toBe('added');
    expect(await saveVessel(db, owner, pot('stock POT', 8000), NOW)).toBe('replaced');
    expect((await kitOf(db, owner)).vessels).toEqual([pot('stock POT', 8000)]);
    expect((await removeVessel(db, owner, 'STOCK pot'))?.capacityMl).toBe(8000);
    expect(await removeVessel(db, owner, 'stock pot')).toBeUndefined();
  });

  it('belongs to one member of one community', async () => {
    await saveVessel(db, ownerIn('here'), pot('mine'), NOW);
    expect((await kitOf(db, ownerIn('there'))).vessels).toEqual([]);
    expect((await kitOf(db, ownerIn('here', 'sorrel'))).vessels).toEqual([]);
    expect(await removeVessel(db, ownerIn('there'), 'mine')).toBeUndefined();
    expect((await kitOf(db, ownerIn('here'))).vessels).toHaveLength(1);
  });

  it('holds thirty vessels and no more, even when several are added at once', async () => {
    const owner = ownerIn('shop');
    for (let number = 1; number < MOST_VESSELS; number++)
      await saveVessel(db, owner, pot(`pot ${number}`), NOW);
    const results = await Promise.all(
      ['a', 'b', 'c'].map((name) => saveVessel(db, owner, pot(`last ${name}`), NOW)),
    );
    expect(results.filter((result) => result === 'added')).toHaveLength(1);
    expect((await kitOf(db, owner)).vessels).toHaveLength(MOST_VESSELS);
    expect(await saveVessel(db, owner, pot('pot 1', 9000), NOW)).toBe('replaced');
  });

  it('has room for as many, whatever others have', async () => {
    const newcomer = ownerIn('shop', 'odile');
    expect(await saveVessel(db, newcomer, pot('pot 1'), NOW)).toBe('added');
    expect((await kitOf(db, newcomer)).vessels).toHaveLength(1);
  });

  it('goes when its community goes', async () => {
    const owner = ownerIn('gone');
    await saveVessel(db, owner, pot('pot'), NOW);
    await changeKitchen(db, owner, { altitudeM: 5 }, NOW);
    await eraseCommunity(db, 'gone');
    expect(await kitOf(db, owner)).toMatchObject({ vessels: [], kitchen: { altitudeM: undefined } });
  });

  it('stores no vessel that cannot be, whoever asks', async () => {
    await expect(saveVessel(db, ownerIn('checks'), pot('thimble', 10), NOW)).rejects.toThrow(/check/);
    await expect(changeKitchen(db, ownerIn('checks'), { altitudeM: 20_000 }, NOW)).rejects.toThrow(/check/);
  });
});
