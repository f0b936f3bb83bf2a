import type { Frame } from '../frame/frame.ts';

export interface FrontModel {
  readonly tray: boolean;
}

/** The first page: what this server is and where its doors are. */
export function frontSheet(tray: boolean): [Frame, FrontModel] {
  return [{ lang: 'en', title: 'Foldkeep', nav: null }, { tray }];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly front: FrontModel;
  }
}
