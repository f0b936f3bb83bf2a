import type { PhotoRecord } from '../../../usecases/photos/photos.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { jointWords } from '../frame/finding-words.ts';

/** A photo in a row of photos. */
export interface PhotoModel {
  readonly href: string;
  readonly src: string;
  readonly width: number;
  readonly height: number;
  readonly words: string;
}

const SMALL_SIDE = 480;

/** A photo small, with the words that stand for it. */
export function photoModel(
  { id, pivot, words, takenOn, width, height }: PhotoRecord,
  voice: Voice,
): PhotoModel {
  const scale = Math.min(1, SMALL_SIDE / Math.max(width, height));
  const joint = pivot === null ? null : jointWords(voice, pivot);
  const what = [joint, words].filter(Boolean).join(': ');
  return {
    href: `/photos/${id}`,
    src: `/photos/${id}/small`,
    width: Math.round(width * scale),
    height: Math.round(height * scale),
    words: `${what === '' ? voice.say('photo') : what}, ${voice.day(takenOn)}`,
  };
}
