/** A local part may hold 64 octets (RFC 5321 section 4.5.3.1.1). */
const LONGEST_LOCAL_PART = 64;
const TOKEN = /^[A-Za-z0-9_-]+$/;

/**
 * The return path of one letter: `bounces+TOKEN@example.org` from `bounces@example.org`. Prefer
 * tokens of lower-case letters and digits: some mail servers change the case of what they return.
 * Throws `RangeError` for a base without exactly one `@` or with a `+`, for other characters in
 * the token, and where the local part would pass 64 octets.
 */
export function verpAddress(base: string, token: string): string {
  const [local, domain, ...more] = base.split('@');
  if (!local || !domain || more.length > 0 || local.includes('+')) {
    throw new RangeError('the base of a return path is name@domain without a plus sign');
  }
  if (!TOKEN.test(token)) throw new RangeError('a token has letters, digits, "-" and "_" only');
  if (Buffer.byteLength(`${local}+${token}`) > LONGEST_LOCAL_PART) {
    throw new RangeError(`a return path has at most ${LONGEST_LOCAL_PART} octets before the @`);
  }
  return `${local}+${token}@${domain}`;
}

/** The token in a return path made by `verpAddress`, or null for any other address. */
export function tokenOf(address: string): string | null {
  const match = /^<?[^+@\s<>]+\+([A-Za-z0-9_-]+)@[^@\s<>]+>?$/.exec(address.trim());
  return match?.[1] ?? null;
}
