import { imageSize } from 'image-size';

/** A letter stays under 30 KB with a picture of this length in it. */
export const LONGEST_PICTURE = 14_000;

// The kinds that mail programs show, as a data address says them and as their bytes are known by.
const KINDS: Readonly<Record<string, string>> = { png: 'png', jpeg: 'jpg', gif: 'gif' };

/** Whether a text is a data address (RFC 2397) of a picture that mail programs show. */
export function isPicture(text: string): boolean {
  const [, kind = '', bytes = ''] =
    /^data:image\/(png|jpeg|gif);base64,([A-Za-z0-9+/]+={0,2})$/.exec(text) ?? [];
  if (bytes === '' || text.length > LONGEST_PICTURE) return false;
  try {
    const { type, width, height } = imageSize(Buffer.from(bytes, 'base64'));
    return type === KINDS[kind] && width > 0 && height > 0;
  } catch {
    return false;
  }
}
