import { hash, verify } from '@node-rs/argon2';
import type { ZxcvbnFactory } from '@zxcvbn-ts/core';
import { PASSWORD_LEAST, PASSWORD_MOST } from '../../domain/people/patience.ts';
import { invalid } from '../../domain/refusal.ts';

// Argon2id as the OWASP Password Storage Cheat Sheet gives it (19 MiB, 2 passes, 1 lane; from memory).
const COST = { memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const;

/** Nobody's password: what is compared where there is none, so that no answer comes sooner. */
const NOBODYS =
  '$argon2id$v=19$m=19456,t=2,p=1$MAjgQsBeS1xKRwDN2MSf8w$XqlnjLAD/0eLvmmtkx1x2c0HTAmKEMxxdQotaIElTGM';

/** The stored form of a password: Argon2id with a salt of its own. */
export function hashPassword(password: string): Promise<string> {
  return hash(spelt(password), COST);
}

/** Whether it is the password of a stored form; takes as long where there is none to compare with. */
export async function isPassword(stored: string | null, password: string): Promise<boolean> {
  // What is longer cannot be right, and must not cost more than what may be.
  const right = await verify(stored ?? NOBODYS, spelt(password.slice(0, PASSWORD_MOST)));
  return right && stored !== null && password.length <= PASSWORD_MOST;
}

/** One spelling for what keyboards may spell in several ways (RFC 8265, section 4.2: NFC). */
function spelt(password: string): string {
  return password.normalize('NFC');
}

/**
 * Refuses a password that is short or easily guessed: common ones, runs of keys, dates, and what has
 * to do with the person (`about`), judged by zxcvbn's estimate of guesses (3 of 4 at the least). No
 * kinds of signs are demanded (ASVS 5.0, 6.2).
 */
export async function judgePassword(password: string, about: readonly string[]): Promise<void> {
  if (password.length < PASSWORD_LEAST) {
    throw invalid(
      '#/password',
      `Take ${PASSWORD_LEAST} characters at the least; some words do well.`,
    );
  }
  if (password.length > PASSWORD_MOST) {
    throw invalid('#/password', `${PASSWORD_MOST} characters are enough.`);
  }
  const estimate = await (estimator ??= makeEstimator());
  const words = about.flatMap((text) => [text, ...text.split(/[\s@.]+/)]).filter((w) => w !== '');
  if (estimate.check(password, ['foldkeep', ...words]).score < 3) {
    throw invalid(
      '#/password',
      'This is easily guessed. Take some words that have nothing to do with you.',
    );
  }
}

let estimator: Promise<ZxcvbnFactory> | null = null;

/**
 * Made where it is needed: its lists are large, and a server may run for weeks without them. Made once:
 * ranking them holds the process up for some 25 ms, and what is kept of it is 4 MB.
 */
async function makeEstimator(): Promise<ZxcvbnFactory> {
  const [core, { dictionary, adjacencyGraphs }] = await Promise.all([
    import('@zxcvbn-ts/core'),
    import('@zxcvbn-ts/language-common'),
  ]);
  return new core.ZxcvbnFactory({ dictionary, graphs: adjacencyGraphs });
}
