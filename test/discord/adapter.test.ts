import { describe, expect, it } from 'vitest';
import { smallCommands } from './small-commands.js';
import { setStage } from './stage.js';

const stage = setStage();

describe('the Discord adapter', () => {
  it('registers its commands once, and again only when they change', async () => {
    const { standin, start } = stage();
    await start();
    expect(standin.world.overwrites).toBe(1);
    await start();
    expect(standin.world.overwrites).toBe(1);
    await start({ commands: smallCommands.slice(1) });
    expect(standin.world.overwrites).toBe(2);
    standin.expectConformant();
  });

  it('answers at once, seen by everyone, with nothing that formats, pings or links', async () => {
    const { standin, alice, start } = stage();
    await start();
    const nasty = '**bold** @everyone <@123> <#9> [a](http://b) ```code``` # head > quote ~~x~~ ||y||';
    const answer = await alice.command('/echo', { text: nasty });
    expect(answer).toMatchObject({ ephemeral: false, deferred: false });
    expect(answer.text.replace(/\\[^0-9A-Za-z\s]/g, '')).not.toMatch(/\*\*|~~|\|\||`|@everyone|<|\[|^#/m);
    standin.expectConformant();
  });

  it('cuts what is too long for Discord instead of failing', async () => {
    const { standin, alice, start } = stage();
    await start();
    const answer = await alice.command('/echo', { text: '*'.repeat(4000) });
    expect(answer.embeds).toHaveLength(1);
    standin.expectConformant();
  });

  it('lets in whom the server let in to a command, but not to the buttons below it', async () => {
    const { standin, guild, start } = stage();
    await start();
    const pitmaster = standin.member(guild, 'Bram', { roles: ['77'] });
    await expect(pitmaster.command('/manage')).rejects.toThrow('Discord does not let Bram use');
    const command = standin.world.commands.find(({ name }) => name === 'manage');
    // Application Commands › Permissions: a role that the server's own settings name.
    const opened = [{ id: '77', type: 1, permission: true }];
    standin.world.commandPermissions.set(`${guild.id} ${command?.id}`, opened);
    const managed = await pitmaster.command('/manage');
    expect(managed.text).toContain('Managed');
    expect((await pitmaster.press(managed, 'Change it')).text).toContain('Not for you to change');
    const manager = standin.member(guild, 'Marlow', { manages: true });
    expect((await manager.press(managed, 'Change it')).text).toContain('Changed');
    standin.expectConformant();
  });

  it('knows in direct messages a community of one', async () => {
    const { standin, guild, alice, start } = stage();
    await start();
    const direct = standin.member(undefined, 'Bram');
    const text = 'hello';
    expect((await direct.command('/echo', { text })).text).toContain(
      `Bram in direct-${direct.user.id}, direct`,
    );
    expect((await alice.command('/echo', { text })).text).toContain(`Alice in ${guild.id}, server`);
    standin.expectConformant();
  });

  it('answers the press of a button with a new message', async () => {
    const { standin, alice, start } = stage();
    await start();
    const offered = await alice.command('/pick');
    const pressed = await alice.press(offered, 'Seven');
    expect(pressed.text).toContain('Picked 7');
    expect(pressed.ephemeral).toBe(true);
    standin.expectConformant();
  });

  it('suggests while one types, and nothing when that takes too long', async () => {
    const { standin, alice, start } = stage();
    await start();
    const choices = await alice.autocomplete('/pick', { number: '1' }, 'number');
    expect(choices).toEqual([1, 12, 17].map((value) => ({ name: `1? ${value}`, value })));
    expect(await alice.autocomplete('/pick', { number: '9' }, 'number')).toEqual([]);
    standin.expectConformant();
  });

  it('answers with no suggestions where Discord does not say what is typed', async () => {
    const { alice, log, start } = stage();
    await start();
    expect(await alice.autocomplete('/pick', { number: '1' }, '')).toEqual([]);
    expect(log.map((line) => JSON.parse(line).level).filter((level) => level > 30)).toEqual([]);
  });

  it('keeps its faults to itself but for a reference', async () => {
    const { alice, faults, start } = stage();
    await start();
    const answer = await alice.command('/broken');
    expect(answer.ephemeral).toBe(true);
    expect(answer.text).toMatch(/reference \d+/);
    expect(answer.text).not.toContain('private');
    expect(faults).toHaveLength(1);
  });

  it('comes back after the connection is cut, asked to come again, or told to start over', async () => {
    const { standin, alice, faults, start } = stage();
    await start();
    standin.gateway.cut();
    await expect.poll(() => standin.gateway.counts.resumed, { timeout: 10_000 }).toBe(1);
    standin.gateway.askToReconnect();
    await expect.poll(() => standin.gateway.counts.resumed, { timeout: 10_000 }).toBe(2);
    standin.gateway.invalidate();
    await expect.poll(() => standin.gateway.counts.identified, { timeout: 15_000 }).toBe(2);
    expect((await alice.command('/echo', { text: 'still here' })).text).toContain('still here');
    expect(faults).toEqual([]);
  });

  it('finishes what is under way when it stops, and asks others to come again', async () => {
    const { alice, start } = stage();
    const adapter = await start();
    const underWay = alice.command('/slow reply');
    await new Promise((resolve) => setTimeout(resolve, 200));
    const stopped = adapter.stop();
    const turnedAway = await alice.command('/echo', { text: 'hello' });
    expect(turnedAway.text).toContain('restarting');
    expect(turnedAway.ephemeral).toBe(true);
    expect((await underWay).text).toContain('an answer');
    await stopped;
  });

  it('logs an answer that came too late with what it was about but no token, and answers the next', async () => {
    const { standin, alice, faults, log, start } = stage();
    await start();
    await expect(alice.command('/busy')).rejects.toThrow('did not answer');
    expect((await alice.command('/echo', { text: 'again' })).text).toContain('again');
    const warned = log.map((line) => JSON.parse(line)).find(({ level }) => level === 40);
    expect(warned).toMatchObject({ doing: '/busy', code: 10_062 });
    expect(warned.ageMs).toBeGreaterThan(3000);
    expect(faults).toEqual([]);
    const everything = log.join('');
    expect(everything).not.toContain(standin.token);
    expect(everything).not.toMatch(/token-\d+/);
  });
});
