import type { TrailRecord } from '../../../usecases/trail/read-trail.ts';
import type { Frame } from '../frame/frame.ts';
import { type TrailModel, trailModel } from '../shop/trail-lines.ts';

export interface TrailPageModel {
  readonly trail: TrailModel;
  /** The same as a table for a spreadsheet. */
  readonly table: string;
  readonly older: string;
}

/** What was changed in the records; `asked` is the query that says of which. */
export function trailSheet(
  items: readonly TrailRecord[],
  timeZone: string,
  asked: string,
  next: string | null,
): [Frame, TrailPageModel] {
  const model = {
    trail: trailModel(items, timeZone, ''),
    table: `/trail.csv?${asked}`,
    older: next === null ? '' : `/trail?${asked}&after=${encodeURIComponent(next)}`,
  };
  return [{ lang: 'en', title: 'What was changed', nav: { here: '' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly trail: TrailPageModel;
  }
}
