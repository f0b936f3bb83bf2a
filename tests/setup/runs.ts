import { inject } from 'vitest';

declare module 'vitest' {
  interface ProvidedContext {
    /** How much of the runs of every property this project makes: a part in the suite, all in the long tests. */
    shareOfRuns: number;
  }
}

/** How often a property is tried here that is tried so often by `npm run test:long`. */
export function runs(whole: number): number {
  return Math.ceil(whole * inject('shareOfRuns'));
}
