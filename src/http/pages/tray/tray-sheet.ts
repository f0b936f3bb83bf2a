import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';
import type { TrayRecord } from '../../../usecases/letters/read-tray.ts';

export interface TrayModel {
  readonly letters: readonly (TrayRecord & { readonly href: string; readonly written: string })[];
}

export interface TrayLetterModel {
  readonly letter: TrayRecord & { readonly text: string; readonly html: string };
  readonly written: string;
  /** The message as a file; null for those from whom its links are kept. */
  readonly source: string | null;
  /** The addresses in the letter: a frame without rights cannot open them itself. */
  readonly links: readonly string[];
}

/** The letters that lie in the tray. */
export function traySheet(
  letters: readonly TrayRecord[],
  shop: boolean,
  voice: Voice,
): [Frame, TrayModel] {
  return [
    { lang: voice.language, title: voice.say('tray.title'), nav: shop ? { here: 'tray' } : null },
    {
      letters: letters.map((letter) => ({
        ...letter,
        href: `/tray/${letter.name}`,
        written: voice.locale.instant(letter.date, 'UTC'),
      })),
    },
  ];
}

/** One letter, as text, as it looks, and as a file. */
export function trayLetterSheet(
  { whole, ...letter }: TrayLetterModel['letter'] & { readonly whole: boolean },
  shop: boolean,
  voice: Voice,
): [Frame, TrayLetterModel] {
  const links = letter.text.match(/https?:\/\/[^\s<>"]+/g) ?? [];
  return [
    { lang: voice.language, title: voice.say('tray.one'), nav: shop ? { here: 'tray' } : null },
    {
      letter,
      written: voice.locale.instant(letter.date, 'UTC'),
      source: whole ? `/tray/${letter.name}/letter.eml` : null,
      links: whole ? [...new Set(links)] : [],
    },
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly tray: TrayModel;
    readonly 'tray-letter': TrayLetterModel;
  }
}
