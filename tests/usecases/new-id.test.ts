import { createHash } from 'node:crypto';
import { validate, version } from 'uuid';
import { describe, expect, it } from 'vitest';
import { newId } from '../../src/usecases/context/new-id.ts';
import { drawBytes } from '../../src/usecases/context/random-bytes.ts';
import { hashOf, newSecret } from '../../src/usecases/context/secret.ts';

describe('a new id', () => {
  const ids = Array.from({ length: 5000 }, newId);

  it('is a UUID of version 7 that bears the time (RFC 9562 section 5.7, published)', () => {
    const begun = Date.now();
    const id = newId();
    expect([validate(id), version(id)]).toEqual([true, 7]);
    const at = Number.parseInt(id.replaceAll('-', '').slice(0, 12), 16);
    expect(at).toBeGreaterThanOrEqual(begun);
    expect(at).toBeLessThanOrEqual(Date.now());
  });

  it('sorts after every id made before, within a millisecond too', () => {
    const milliseconds = new Set(ids.map((id) => id.slice(0, 13)));
    expect(milliseconds.size).toBeLessThan(ids.length);
    expect(ids.toSorted()).toEqual(ids);
    expect(new Set(ids).size).toBe(ids.length);
  });

  it('ends in 48 bits that cannot be foretold from the one before', () => {
    const ends = ids.map((id) => Number.parseInt(id.slice(24), 16));
    expect(new Set(ends).size).toBe(ends.length);
    // The mean of n uniform draws lies within five standard errors of the middle.
    const mean = ends.reduce((sum, end) => sum + end / 2 ** 48, 0) / ends.length;
    expect(Math.abs(mean - 0.5)).toBeLessThan(5 / Math.sqrt(12 * ends.length));
  });
});

describe('random bytes', () => {
  it('are as many as asked for, and never handed out twice', () => {
    const draws = Array.from({ length: 2000 }, (_, n) => drawBytes(16 + (n % 17)));
    expect(draws.every((bytes, n) => bytes.length === 16 + (n % 17))).toBe(true);
    expect(new Set(draws.map((bytes) => bytes.toString('hex'))).size).toBe(draws.length);
  });

  it('stay what they were when later ones are drawn', () => {
    const first = drawBytes(32);
    const before = first.toString('hex');
    for (let n = 0; n < 300; n += 1) drawBytes(32);
    expect(first.toString('hex')).toBe(before);
  });
});

describe('a secret', () => {
  it('holds 256 bits after its prefix, and is stored by its SHA-256 alone', () => {
    const { secret, hash } = newSecret('fk_');
    expect(secret).toMatch(/^fk_[A-Za-z0-9_-]{43}$/);
    expect(hash).toBe(createHash('sha256').update(secret).digest('hex'));
  });

  it('is hashed as the standard says', () => {
    // FIPS 180-4, the example "abc" (published).
    expect(hashOf('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
  });
});
