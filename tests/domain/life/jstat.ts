import { createRequire } from 'node:module';

interface JStat {
  readonly erfc: (x: number) => number;
  readonly binomial: { readonly pdf: (k: number, n: number, p: number) => number };
  readonly chisquare: {
    readonly cdf: (x: number, dof: number) => number;
    readonly inv: (p: number, dof: number) => number;
  };
  readonly normal: { readonly cdf: (x: number, mean: number, sd: number) => number };
  readonly weibull: {
    readonly pdf: (x: number, scale: number, shape: number) => number;
    readonly cdf: (x: number, scale: number, shape: number) => number;
  };
}

/** jstat ships without types; only what these tests ask of it is named here. */
const loaded: { readonly jStat: JStat } = createRequire(import.meta.url)('jstat');

export const { jStat } = loaded;
