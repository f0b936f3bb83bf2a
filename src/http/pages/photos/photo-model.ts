import type { PhotoRecord } from '../../../usecases/photos/photos.ts';
import { localeOf } from '../../../views/words/locale.ts';

/** A photo in a row of photos. */
export interface PhotoModel {
  readonly href: string;
  readonly src: string;
  readonly width: number;
  readonly height: number;
  readonly words: string;
}

const EN = localeOf('en-GB');
const SMALL_SIDE = 480;

/** A photo small, with the words that stand for it. */
export function photoModel({ id, pivot, words, takenOn, width, height }: PhotoRecord): PhotoModel {
  const scale = Math.min(1, SMALL_SIDE / Math.max(width, height));
  const what = [pivot, words].filter(Boolean).join(': ');
  return {
    href: `/photos/${id}`,
    src: `/photos/${id}/small`,
    width: Math.round(width * scale),
    height: Math.round(height * scale),
    words: `${what === '' ? 'Photo' : what}, ${EN.day(takenOn)}`,
  };
}
