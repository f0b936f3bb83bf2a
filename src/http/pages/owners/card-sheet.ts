import type { StayWords } from '../../../views/letters/stay.ts';
import { encode } from 'uqr';
import type { Frame } from '../frame/frame.ts';
import type { Voice } from '../../../views/words/voice.ts';

export interface CardModel {
  readonly say: Voice['say'];
  readonly organisation: string;
  readonly address: string;
  readonly back: string;
  /** Tops that must not be moved: said before anything else. */
  readonly stay: StayWords | null;
  /** Side of the square in modules, its quiet zone included, and its dark modules as a path. */
  readonly code: { readonly size: number; readonly path: string };
}

/** The card for the car: a square to point a telephone at, and what it is for. */
export function cardSheet(
  organisation: string,
  address: string,
  back: string,
  stay: StayWords | null,
  voice: Voice,
): [Frame, CardModel] {
  return [
    { lang: voice.language, title: voice.say('card.title'), nav: null },
    { say: voice.say, organisation, address, back, stay, code: squareOf(address) },
  ];
}

/** A QR code that stands a quarter of its face being dirty, with the quiet zone of four modules. */
export function squareOf(text: string): CardModel['code'] {
  const { size, data } = encode(text, { ecc: 'Q', border: 4 });
  const path = data
    .flatMap((row, y) => row.flatMap((dark, x) => (dark ? [`M${x} ${y}h1v1h-1z`] : [])))
    .join('');
  return { size, path };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly card: CardModel;
  }
}
