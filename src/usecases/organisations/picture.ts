/** A letter stays under 30 KB with a picture of this length in it. */
export const LONGEST_PICTURE = 14_000;

// The kinds that mail programs show, by how their bytes begin (the formats' own signatures).
const BEGINNINGS = {
  png: [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a],
  jpeg: [0xff, 0xd8, 0xff],
  gif: [0x47, 0x49, 0x46, 0x38],
} as const;

/** Whether a text is a data address (RFC 2397) of a picture that mail programs show. */
export function isPicture(text: string): boolean {
  const [, kind, bytes] =
    /^data:image\/(png|jpeg|gif);base64,([A-Za-z0-9+/]+={0,2})$/.exec(text) ?? [];
  if (kind === undefined || bytes === undefined || text.length > LONGEST_PICTURE) return false;
  const found = Buffer.from(bytes.slice(0, 16), 'base64');
  return BEGINNINGS[kind as keyof typeof BEGINNINGS].every((byte, i) => found[i] === byte);
}
