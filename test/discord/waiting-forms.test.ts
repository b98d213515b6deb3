import { describe, expect, it } from 'vitest';
import type { Form } from '../../src/chat/command.js';
import { waitingForms } from '../../src/discord/waiting-forms.js';

const START = Date.parse('2026-11-29T18:00:00Z');
const alice = { community: 'ember-lane', memberId: 'alice' };
const form = (id: string): Form => ({ kind: 'form', id, title: 'A form', fields: [] });

describe('a form that waits for its button', () => {
  it('is there for the one who asked, and nobody else', () => {
    const forms = waitingForms(() => new Date(START));
    forms.keep(alice, form('v1|x|1'));
    expect(forms.of(alice, 'v1|x|1')).toEqual(form('v1|x|1'));
    expect(forms.of({ ...alice, memberId: 'bram' }, 'v1|x|1')).toBeUndefined();
    forms.forget(alice, 'v1|x|1');
    expect(forms.of(alice, 'v1|x|1')).toBeUndefined();
  });

  it('is not shown in another community, where the same form is about other records', () => {
    const forms = waitingForms(() => new Date(START));
    const elsewhere = { ...alice, community: 'quiet-lane' };
    forms.keep(alice, form('v1|x|1'));
    expect(forms.of(elsewhere, 'v1|x|1')).toBeUndefined();
    forms.keep(elsewhere, { ...form('v1|x|1'), title: 'Another' });
    expect(forms.of(alice, 'v1|x|1')?.title).toBe('A form');
  });

  it('is gone after a quarter of an hour', () => {
    let now = START;
    const forms = waitingForms(() => new Date(now));
    forms.keep(alice, form('v1|x|1'));
    now = START + 14 * 60_000;
    expect(forms.of(alice, 'v1|x|1')).toBeDefined();
    now = START + 15 * 60_000 + 1;
    expect(forms.of(alice, 'v1|x|1')).toBeUndefined();
  });

  it('gives way to newer ones when there are very many', () => {
    const forms = waitingForms(() => new Date(START));
    for (let at = 0; at < 600; at++) forms.keep(alice, form(`v1|x|${at}`));
    expect(forms.of(alice, 'v1|x|0')).toBeUndefined();
    expect(forms.of(alice, 'v1|x|599')).toBeDefined();
  });
});
