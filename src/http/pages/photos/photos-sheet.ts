import { voiceFor } from '../../../views/words/voice.ts';
import type { PhotoRecord } from '../../../usecases/photos/photos.ts';
import type { ChoiceModel } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
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
    readonly joints: readonly ChoiceModel[];
  } | null;
  readonly photos: readonly (PhotoModel & {
    readonly inLetter: boolean;
    readonly remove: string | null;
  })[];
  readonly once: string;
}

const DONE: Readonly<Record<string, string>> = {
  kept: 'The photo is kept, without place and camera. You can take the next one.',
  removed: 'The photo is gone. That it was there stays among the changes.',
};

/** All photos of a car, and where the next one is taken. */
export function photosSheet(
  facts: {
    readonly carId: string;
    readonly registration: string;
    readonly joints: readonly string[];
    readonly items: readonly PhotoRecord[];
  },
  looking: {
    readonly records: boolean;
    readonly done: string | undefined;
    readonly once: string;
    readonly visit: string;
    readonly pivot: string;
  },
): [Frame, PhotosModel] {
  const { carId, registration, joints, items } = facts;
  const { records, once, visit, pivot } = looking;
  const model: PhotosModel = {
    registration,
    carHref: `/cars/${carId}`,
    done: DONE[looking.done ?? ''] ?? '',
    add: records
      ? {
          action: `/cars/${carId}/photos`,
          once,
          visit,
          joints: ['', ...joints].map((code) => ({
            value: code,
            words: code === '' ? 'no joint of its own' : code,
            chosen: code === pivot,
          })),
        }
      : null,
    photos: items.map((photo) => ({
      ...photoModel(photo, voiceFor('en')),
      inLetter: photo.inLetter,
      remove: records ? `/photos/${photo.id}/remove` : null,
    })),
    once,
  };
  return [{ lang: 'en', title: 'Photos', nav: { here: 'tops' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly photos: PhotosModel;
  }
}
