import type { VisitRecord } from '../../../usecases/own/visit-records.ts';
import type { Sent } from '../frame/form.ts';
import type { TopPageRecord } from '../../../usecases/day/top-page.ts';
import { FINDINGS_SHOWN, NOT_COUNTED } from './visit-rows.ts';

/** A recorded visit as somebody would have typed it into the form. */
export function typedVisit(visit: VisitRecord, { pivots }: Pick<TopPageRecord, 'pivots'>): Sent {
  const typed: Record<string, string> = {
    kind: visit.kind,
    doneOn: visit.doneOn ?? '',
    minutes: asTyped(visit.minutes),
    others: 'none',
    // Each joint has its own below: one for all would overrule them.
    lubricant: '',
    swayMm: asTyped(visit.swayMm),
    'diagonalsMm/left': asTyped(visit.diagonalsMm?.left),
    'diagonalsMm/right': asTyped(visit.diagonalsMm?.right),
    breakawayN: asTyped(visit.breakawayN),
    notes: visit.notes ?? '',
    findings: String(Math.max(FINDINGS_SHOWN, visit.findings.length + 1)),
  };
  for (const [i, pivot] of pivots.items.entries()) {
    const reading = visit.readings.find((one) => one.pivot === pivot.code);
    if (reading === undefined) continue;
    const { washersPresent } = reading;
    const all = washersPresent === pivot.washersExpected;
    Object.assign(typed, {
      [`readings/${i}/state`]: reading.state,
      [`readings/${i}/oil`]: reading.oiled ? 'yes' : 'no',
      [`readings/${i}/washersPresent`]:
        washersPresent === null ? NOT_COUNTED : all ? '' : String(washersPresent),
      [`readings/${i}/axialPlayMm`]: asTyped(reading.axialPlayMm),
      [`readings/${i}/radialPlayMm`]: asTyped(reading.radialPlayMm),
      [`readings/${i}/lubricant`]: reading.lubricant ?? '',
      ...(reading.repaired ? { [`readings/${i}/repaired`]: 'yes' } : {}),
    });
  }
  for (const [i, finding] of visit.findings.entries()) {
    Object.assign(typed, {
      [`findings/${i}/fault`]: finding.fault ?? '',
      [`findings/${i}/pivot`]: finding.pivot ?? '',
      [`findings/${i}/text`]: finding.text,
      [`findings/${i}/advised`]: finding.advised ?? '',
      [`findings/${i}/outcome`]: finding.outcome,
    });
  }
  return { typed, faults: [] };
}

function asTyped(value: number | null | undefined): string {
  return value === null || value === undefined ? '' : String(value);
}
