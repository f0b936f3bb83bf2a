import type { ProblemModel } from './problem-sheet.ts';
import type { StopModel } from './stop-sheet.ts';

/** What each page must be told; a template can ask for nothing else. */
export interface PageModels {
  readonly problem: ProblemModel;
  readonly stop: StopModel;
}
