import { createRequire } from 'node:module';

interface Line {
  readonly slope: number;
  /** median(y - slope × x), the "joint" intercept: not the one this project uses. */
  readonly intercept: number;
}

type TheilSenLine = new (x: readonly number[], y: readonly number[]) => Line;

/** ml-regression-theil-sen ships without types; only what these tests ask of it is named here. */
const loaded: { readonly TheilSenRegression: TheilSenLine } = createRequire(import.meta.url)(
  'ml-regression-theil-sen',
);

export const { TheilSenRegression } = loaded;
