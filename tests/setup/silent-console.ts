import { afterEach, beforeEach, expect, vi } from 'vitest';

const METHODS = ['log', 'info', 'warn', 'error', 'debug'] as const;
let spoken: string[] = [];

beforeEach(() => {
  spoken = [];
  for (const method of METHODS) {
    vi.spyOn(console, method).mockImplementation((...words: unknown[]) => {
      spoken.push(`console.${method}: ${words.map(String).join(' ')}`);
    });
  }
});

// A test that prints hides a fault or buries another test's message: silence is part of the result.
afterEach(() => {
  vi.restoreAllMocks();
  expect(spoken, 'a test must not print to the console').toEqual([]);
});
