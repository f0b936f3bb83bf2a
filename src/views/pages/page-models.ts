import type { CardModel } from './card-sheet.ts';
import type { OwnerModel } from './owner-sheet.ts';
import type { ProblemModel } from './problem-sheet.ts';
import type { StopModel } from './stop-sheet.ts';

/** What each page must be told; a template can ask for nothing else. */
export interface PageModels {
  readonly problem: ProblemModel;
  readonly stop: StopModel;
  readonly owner: OwnerModel;
  readonly card: CardModel;
}
