import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';

export interface FrontModel {
  readonly tray: boolean;
}

/** The first page: what this server is and where its doors are. */
export function frontSheet(tray: boolean, { language, say }: Voice): [Frame, FrontModel] {
  return [{ lang: language, title: say('front.title'), nav: null }, { tray }];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly front: FrontModel;
  }
}
