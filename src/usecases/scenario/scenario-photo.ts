import { readFileSync } from 'node:fs';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Caller, Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { addPhoto } from '../photos/photos.ts';
import type { DeskClock, DeskSeed } from './scenario-desk-seeds.ts';

/** A photo of a car; those of the scenario are drawings that lie in `seeds/`. */
export interface PhotoHappening {
  readonly at: Instant;
  readonly what: 'photo';
  readonly car: string;
  readonly file: string;
  readonly words: string;
}

export function photoStory({ photos }: DeskSeed, clock: DeskClock): PhotoHappening[] {
  return photos.map(({ car, file, words, daysAgo }) => ({
    what: 'photo',
    at: clock(daysAgo, '15:50'),
    car,
    file,
    words,
  }));
}

export async function replayPhoto(
  context: Context,
  caller: Caller,
  carId: string,
  { file, words }: Pick<PhotoHappening, 'file' | 'words'>,
): Promise<void> {
  const bytes = readFileSync(new URL(`../../../seeds/${file}`, import.meta.url));
  await addPhoto(context, caller, carId, { id: newId(), bytes, words, inLetter: false });
}
