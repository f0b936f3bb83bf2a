import type { Wording } from '../../domain/advice/advice.ts';
import type { Caution } from '../../domain/cautions/cautions.ts';
import type { Mark } from '../../domain/figures/figure.ts';

export interface CautionRecord {
  readonly id: string;
  readonly hazard: Wording;
  readonly show: Wording;
  readonly mark: Mark;
  readonly source: string;
}

export function cautionRecordOf({ id, hazard, show, mark, source }: Caution): CautionRecord {
  return { id, hazard, show, mark, source };
}
