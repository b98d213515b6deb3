import { afterAll, describe, expect, it } from 'vitest';
import { threadOf } from '../../src/threads/thread.js';

/** Says again what it is asked, except that it hangs at `hang` and fails at `fail`. */
const source = `
import { parentPort } from 'node:worker_threads';
parentPort.on('message', ({ id, question }) => {
  if (question === 'hang') for (;;);
  parentPort.postMessage(question === 'fail' ? { id, failure: new Error('no') } : { id, answer: question });
});`;
const echo = new URL(`data:text/javascript,${encodeURIComponent(source)}`);

const thread = threadOf<string, string>(echo, 2000);
afterAll(() => thread.stop());

describe('work in a thread of its own', () => {
  it('answers, and goes on after what it could not answer', async () => {
    expect(await Promise.all([thread.ask('one'), thread.ask('two')])).toEqual(['one', 'two']);
    await expect(thread.ask('fail')).rejects.toThrow('no');
    expect(await thread.ask('three')).toBe('three');
  });

  it('is ended when it hangs: who waits is told, and the next question is answered by another', async () => {
    const waiting = [thread.ask('hang'), thread.ask('behind it')];
    for (const { status } of await Promise.allSettled(waiting)) expect(status).toBe('rejected');
    expect(await thread.ask('next')).toBe('next');
  });

  it('says after how long it was given up', async () => {
    await expect(thread.ask('hang')).rejects.toThrow('took longer than 2 s');
  });

  it('is left alone once it has answered in time', async () => {
    const brief = threadOf<string, string>(echo, 1000);
    expect(await brief.ask('one')).toBe('one');
    await new Promise((resolve) => setTimeout(resolve, 1200));
    const asked = performance.now();
    expect(await brief.ask('two')).toBe('two');
    // Starting another takes longer.
    expect(performance.now() - asked).toBeLessThan(1000);
    await brief.stop();
  });
});
