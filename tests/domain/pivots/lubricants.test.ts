import { describe, expect, it } from 'vitest';
import { markProblem } from '../figures/mark-problem.ts';
import {
  LUBRICANTS,
  lubricantFor,
  proposalInWords,
} from '../../../src/domain/pivots/lubricants.ts';

describe('the lubricant proposed for a joint', () => {
  // Common practice of trimmers; no handbook for hand-folded frames is known.
  it.each([
    ['main', 2, 'light machine oil'],
    ['link', 2, 'light machine oil'],
    ['knuckle', 1, 'light machine oil'],
    ['main', 0, 'thin white grease'],
    ['latch', 0, 'thin white grease'],
    ['spring-end', 0, 'thin white grease'],
    ['stick', 2, 'dry PTFE film'],
    ['header-hinge', 0, 'dry PTFE film'],
    ['rear-bow', 1, 'dry PTFE film'],
    ['ram', 2, 'thin white grease'],
  ])('%s with %i washers: %s', (kind, washersExpected, name) => {
    expect(lubricantFor({ kind, washersExpected }).name).toBe(name);
  });

  it('carries its mark, and says of a ram that the rod is left alone', () => {
    expect(proposalInWords({ kind: 'link', washersExpected: 2 })).toContain(
      '(common practice, no source)',
    );
    expect(proposalInWords({ kind: 'ram', washersExpected: 0 })).toContain('never the rod');
    for (const row of Object.values(LUBRICANTS)) expect(markProblem(row)).toBeNull();
  });
});
