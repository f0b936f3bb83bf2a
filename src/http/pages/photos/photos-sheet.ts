import type { Voice } from '../../../views/words/voice.ts';
import type { PhotoRecord } from '../../../usecases/photos/photos.ts';
import type { ChoiceModel } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { jointWords } from '../frame/finding-words.ts';
import { type PhotoModel, photoModel } from './photo-model.ts';

export interface PhotosModel {
  readonly registration: string;
  readonly carHref: string;
  readonly done: string;
  /** Null for whoever may only read. */
  readonly add: {
    readonly action: string;
    readonly once: string;
    readonly visit: string;
    readonly words: string;
    readonly joints: readonly ChoiceModel[];
  } | null;
  readonly photos: readonly (PhotoModel & {
    readonly inLetter: boolean;
    readonly remove: string | null;
    /** What it shows, to be put right; null for whoever may only read. */
    readonly change: {
      readonly action: string;
      readonly id: string;
      readonly words: string;
      readonly joints: readonly ChoiceModel[];
    } | null;
  })[];
  readonly once: string;
}

const DONE: readonly string[] = ['kept', 'removed', 'changed'];

/** All photos of a car, and where the next one is taken. */
export function photosSheet(
  facts: {
    readonly carId: string;
    readonly registration: string;
    readonly joints: readonly string[];
    readonly items: readonly PhotoRecord[];
  },
  view: {
    readonly records: boolean;
    readonly done: string | undefined;
    readonly once: string;
    readonly visit: string;
    readonly pivot: string;
    /** What it shows, where that is known before it is taken. */
    readonly words: string;
  },
  voice: Voice,
): [Frame, PhotosModel] {
  const { say } = voice;
  const { carId, registration, joints, items } = facts;
  const { records, once, visit, pivot, words } = view;
  const jointsFrom = (chosen: string): ChoiceModel[] =>
    [...new Set(['', ...joints, chosen])].map((code) => ({
      value: code,
      words: code === '' ? say('photos.joint.none') : jointWords(voice, code),
      chosen: code === chosen,
    }));
  const model: PhotosModel = {
    registration,
    carHref: `/cars/${carId}`,
    done: DONE.includes(view.done ?? '') ? say(`photos.done.${view.done ?? ''}`) : '',
    add: records
      ? {
          action: `/cars/${carId}/photos`,
          once,
          visit,
          words,
          joints: jointsFrom(pivot),
        }
      : null,
    photos: items.map((photo) => ({
      ...photoModel(photo, voice),
      inLetter: photo.inLetter,
      remove: records ? `/photos/${photo.id}/remove` : null,
      change: records
        ? {
            action: `/photos/${photo.id}/change`,
            id: photo.id,
            words: photo.words ?? '',
            joints: jointsFrom(photo.pivot ?? ''),
          }
        : null,
    })),
    once,
  };
  return [{ lang: voice.language, title: say('photos.title'), nav: { here: 'tops' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly photos: PhotosModel;
  }
}
