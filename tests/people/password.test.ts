import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { hashPassword, isPassword } from '../../src/usecases/people/password.ts';

const costOf = (stored: string) => stored.split('$').slice(1, 4).join('$');

describe('a password', () => {
  it('is kept as Argon2id with a salt of its own', async () => {
    const [one, two] = [await hashPassword('plum gate 42'), await hashPassword('plum gate 42')];
    expect(one).not.toBe(two);
    // 19 MiB, two passes, one lane: OWASP Password Storage Cheat Sheet, from memory.
    expect(costOf(one)).toBe('argon2id$v=19$m=19456,t=2,p=1');
    expect(await isPassword(one, 'plum gate 42')).toBe(true);
    expect(await isPassword(one, 'plum gate 43')).toBe(false);
  });

  it('that nobody has costs as much to compare, so that time tells nothing', async () => {
    const source = new URL('../../src/usecases/people/password.ts', import.meta.url);
    const [nobodys = ''] = /\$argon2id[^']+/.exec(readFileSync(source, 'utf8')) ?? [];
    expect(costOf(nobodys)).toBe(costOf(await hashPassword('plum gate 42')));
    expect(await isPassword(null, 'wrong')).toBe(false);
  });

  it('is compared whole: one no longer than allowed is not found in a longer one', async () => {
    const longest = 'k7 plum gate xq '.repeat(8);
    const stored = await hashPassword(longest);
    expect(longest).toHaveLength(128);
    expect(await isPassword(stored, longest)).toBe(true);
    expect(await isPassword(stored, `${longest}x`)).toBe(false);
  });

  it('is one, however a keyboard spells its letters', async () => {
    const stored = await hashPassword('Pflümlitor am See');
    expect(await isPassword(stored, 'Pflu\u0308mlitor am See')).toBe(true);
  });
});
