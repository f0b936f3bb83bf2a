import { imageSize } from 'image-size';

/** A photo as it is kept: the right way up, without anything that the camera wrote beside it. */
export interface ShrunkPhoto {
  /** To be looked at closely, and for lists and letters: JPEG in base64url. */
  readonly large: string;
  readonly small: string;
  readonly width: number;
  readonly height: number;
}

/** Bytes that a photo may have as it comes from a telephone. */
export const LARGEST_PHOTO = 12 * 1024 * 1024;

// What cameras and browsers write, by its bytes; a picture that can hold programs (SVG) is none of them.
const KINDS: readonly (string | undefined)[] = ['jpg', 'png', 'webp'];
// A telephone takes 12 to 50 megapixels; a small file that unfolds to more is no photo.
const MOST_PIXELS = 64_000_000;
const LARGE = { side: 1280, quality: 72 };
const SMALL = { side: 480, quality: 60 };

/**
 * Reads a photo, turns it upright, scales it down and writes it anew: what is left are its pixels, so
 * place, time, camera and thumbnail that were in the file are gone. Null where it is no photo.
 */
export async function shrinkPhoto(bytes: Uint8Array): Promise<ShrunkPhoto | null> {
  if (!isPhoto(bytes)) return null;
  try {
    const large = await written(bytes, LARGE);
    const small = await written(bytes, SMALL);
    return {
      large: large.data.toString('base64url'),
      small: small.data.toString('base64url'),
      width: large.info.width,
      height: large.info.height,
    };
  } catch {
    return null;
  }
}

async function written(bytes: Uint8Array, { side, quality }: typeof LARGE) {
  // Loaded with the first photo: a start has no use for it.
  const { default: sharp } = await import('sharp');
  return sharp(bytes, { limitInputPixels: MOST_PIXELS, failOn: 'error' })
    .autoOrient()
    .resize({ width: side, height: side, fit: 'inside', withoutEnlargement: true })
    .flatten({ background: '#ffffff' })
    .toColourspace('srgb')
    .jpeg({ quality, mozjpeg: true })
    .toBuffer({ resolveWithObject: true });
}

function isPhoto(bytes: Uint8Array): boolean {
  try {
    const { type, width, height } = imageSize(bytes);
    return KINDS.includes(type) && width > 0 && height > 0 && width * height <= MOST_PIXELS;
  } catch {
    return false;
  }
}
