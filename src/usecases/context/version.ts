import { Refused } from '../../domain/refusal.ts';

/**
 * Holds a change to the version that its author has read: null is refused because a change must say
 * what it is based on, another number because somebody was quicker.
 */
export function requireVersion(expected: number | '*' | null, actual: number): void {
  if (expected === null) {
    throw new Refused({
      kind: 'precondition-missing',
      detail: 'Say which version you change: send the ETag you read in If-Match.',
    });
  }
  if (expected !== '*' && expected !== actual) throw changedMeanwhile();
}

/**
 * Refuses where a row that was to be changed at its version had another by then: of two who changed
 * the same version at the same instant, only one may have done so.
 */
export function requireHeld({ count }: { readonly count: number }): void {
  if (count === 0) throw changedMeanwhile();
}

function changedMeanwhile(): Refused {
  return new Refused({
    kind: 'changed-meanwhile',
    detail: 'This record was changed since you read it. Read it again and repeat your change.',
  });
}
