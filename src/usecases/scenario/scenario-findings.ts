import type { NewFinding, VisitWork } from '../visits/record-visit.ts';
import type { Chance } from './scenario-chance.ts';
import type { PastVisit } from './scenario-history.ts';
import type { FindingWords, SeedCar, SeedOrganisation } from './scenario-seeds.ts';

interface Setting {
  readonly kind: SeedOrganisation['organisation']['kind'];
  readonly car: SeedCar;
  readonly words: FindingWords;
}

const SMALL_FAULTS = ['salt-crust', 'drains-blocked', 'latch-out-of-set'] as const;

/** What was written down as faulty on a visit: what the seed says, or now and then a small thing. */
export function findingsOf(
  { car, words, kind }: Setting,
  visit: PastVisit,
  chance: Chance,
): Pick<VisitWork, 'findings'> {
  const finding = (fault: string, outcome: NewFinding['outcome'], pivot?: string): NewFinding => {
    const said = words[fault];
    if (said === undefined) throw new Error(`seeds/findings.json has no words for ${fault}`);
    return { fault, ...said, outcome, ...(pivot === undefined ? {} : { pivot }) };
  };
  const { mended } = car;
  const findings: NewFinding[] = [];
  if (visit.stage === 'last') {
    for (const { fault, outcome, pivot } of car.findings ?? []) {
      findings.push(finding(fault, outcome, pivot));
    }
  } else if (mended !== undefined && visit.stage === 'before-last') {
    findings.push(finding(mended.fault, 'accepted', mended.pivot));
  } else if (mended !== undefined && visit.stage === 'mending') {
    findings.push(finding(mended.fault, 'done', mended.pivot));
  } else if (kind === 'shop' && visit.kind === 'lubrication' && chance.next() < 0.2) {
    findings.push(
      finding(chance.oneOf(SMALL_FAULTS), chance.oneOf(['done', 'advised', 'declined'])),
    );
  }
  return findings.length === 0 ? {} : { findings };
}
