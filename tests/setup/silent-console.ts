import { afterEach, beforeEach, expect, vi } from 'vitest';

const METHODS = ['log', 'info', 'warn', 'error', 'debug'] as const;
let spoken: string[] = [];

const own = { ...console };

// By hand: five spies before each of some thousand tests cost more than many a test.
beforeEach(() => {
  spoken = [];
  for (const method of METHODS) {
    own[method] = console[method];
    console[method] = (...words: unknown[]) => {
      spoken.push(`console.${method}: ${words.map(String).join(' ')}`);
    };
  }
});

// A test that prints hides a fault or buries another test's message: silence is part of the result.
afterEach(() => {
  vi.restoreAllMocks();
  for (const method of METHODS) console[method] = own[method];
  expect(spoken, 'a test must not print to the console').toEqual([]);
});
