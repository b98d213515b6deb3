import { afterEach, expect } from 'vitest';
import { offences } from './own-community.js';

// Looked at after each test rather than thrown: the scheduler goes on after a failure, and hides it.
afterEach(() => {
  expect(offences.splice(0), 'statements that are not held to one community').toEqual([]);
});
