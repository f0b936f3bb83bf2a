import { createRequire } from 'node:module';

/** The part of jStat that these tests lean on. */
interface BetaPackage {
  readonly beta: { mean(alpha: number, beta: number): number };
}

const loaded: { readonly jStat: BetaPackage } = createRequire(import.meta.url)('jstat');
export const { jStat } = loaded;
