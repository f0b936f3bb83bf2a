import type { PatternPivot } from '../../domain/pivots/frame-patterns.ts';
import type { PivotState } from '../../domain/pivots/state.ts';
import type { NewReading, VisitWork } from '../visits/record-visit.ts';
import type { Chance } from './scenario-chance.ts';
import { chanceOf } from './scenario-chance.ts';
import { SCENARIO } from './scenario-figures.ts';
import { findingsOf } from './scenario-findings.ts';
import { frameOf, rounded, yearsSince } from './scenario-frame.ts';
import type { History, PastVisit } from './scenario-history.ts';
import type { FindingWords, SeedCar, SeedOrganisation } from './scenario-seeds.ts';

type Kind = SeedOrganisation['organisation']['kind'];

/** What the work on a past visit is made up from. */
export interface WorkSetting {
  readonly kind: Kind;
  readonly car: SeedCar;
  readonly pivots: readonly PatternPivot[];
  readonly history: History;
  readonly words: FindingWords;
}

/** What was done and found on a visit, made up from the seed; equal every time. */
export function workOf(setting: WorkSetting, visit: PastVisit): VisitWork {
  const { car, pivots, kind } = setting;
  const chance = chanceOf(
    `${car.registration} on ${visit.stage} ${visit.kind} ${visitNumber(setting, visit)}`,
  );
  const read =
    visit.kind === 'repair' ? pivots.filter(({ code }) => code === car.mended?.pivot) : pivots;
  return {
    minutes: minutesOf(
      kind,
      visit,
      pivots.some((pivot) => pivot.kind === 'ram'),
      chance,
    ),
    readings: read.map((pivot) => readingOf(setting, visit, pivot, chance)),
    ...(kind === 'shop' && visit.kind !== 'repair' ? frameOf(setting, visit, chance) : {}),
    ...findingsOf(setting, visit, chance),
  };
}

// By its place in the row, not by its day, so that another today gives the same readings.
function visitNumber({ history }: WorkSetting, visit: PastVisit): number {
  return history.visits.indexOf(visit);
}

function minutesOf(kind: Kind, visit: PastVisit, powered: boolean, chance: Chance): number {
  const fives = (least: number, most: number) => 5 * chance.whole(least / 5, most / 5);
  if (visit.kind === 'settling') return fives(20, 40);
  if (visit.kind === 'repair') return fives(120, 300);
  if (kind === 'club') return fives(35, 45);
  if (kind === 'private') return fives(40, 75);
  return powered ? fives(105, 140) : fives(90, 120);
}

const GREASED = new Set(['latch', 'ram', 'spring-end']);
const WATCHED = new Set(['main', 'link', 'knuckle']);
const MILDER: Readonly<Partial<Record<PivotState, PivotState>>> = { seized: 'stiff', stiff: 'dry' };

function readingOf(
  setting: WorkSetting,
  visit: PastVisit,
  pivot: PatternPivot,
  chance: Chance,
): NewReading {
  const { car, kind } = setting;
  const joint = car.joints?.find((candidate) => candidate.pivot === pivot.code);
  const state = stateOf(setting, visit, pivot, chance);
  const repaired = visit.stage === 'mending';
  const oiled = repaired || (visit.kind === 'lubrication' && state !== 'seized');
  const missing = visit.stage === 'last' ? (joint?.missing ?? 0) : 0;
  const measured =
    visit.kind !== 'settling' &&
    (joint !== undefined || repaired || (WATCHED.has(pivot.kind) && kind === 'shop'));
  return {
    pivot: pivot.code,
    state,
    oiled,
    ...(repaired ? { repaired } : {}),
    ...(oiled ? { lubricant: lubricantOf(car, pivot) } : {}),
    ...(pivot.washersExpected === 0 ? {} : { washersPresent: pivot.washersExpected - missing }),
    ...(measured ? { axialPlayMm: axialOf(setting, visit, pivot, missing, chance) } : {}),
    ...(measured && pivot.kind === 'main'
      ? { radialPlayMm: radialOf(setting, visit, chance) }
      : {}),
  };
}

function lubricantOf({ registration }: SeedCar, { kind }: PatternPivot): string {
  if (GREASED.has(kind)) return 'thin white grease';
  return chanceOf(registration).oneOf(['light machine oil', 'light machine oil', 'dry PTFE film']);
}

function stateOf(
  { car }: WorkSetting,
  visit: PastVisit,
  { code }: PatternPivot,
  chance: Chance,
): PivotState {
  const dryShare = car.salt === 'none' ? SCENARIO.dryShare : SCENARIO.dryShareInSalt;
  const usual = chance.next() < dryShare && visit.kind === 'lubrication' ? 'dry' : 'free';
  if (car.mended?.pivot === code) {
    return visit.stage === 'before-last' ? car.mended.found : 'free';
  }
  const state = car.joints?.find((joint) => joint.pivot === code)?.state;
  if (state === undefined) return usual;
  if (visit.stage === 'last') return state;
  return visit.stage === 'before-last' ? (MILDER[state] ?? 'free') : 'free';
}

function axialOf(
  { car, history }: WorkSetting,
  visit: PastVisit,
  { code }: PatternPivot,
  missing: number,
  chance: Chance,
): number {
  const own = chanceOf(`${car.registration} ${code}`);
  const fresh = own.between(SCENARIO.axialNewLeast, SCENARIO.axialNewMost);
  const wear = own.between(SCENARIO.axialPerYearLeast, SCENARIO.axialPerYearMost);
  const joint = car.joints?.find((candidate) => candidate.pivot === code);
  const mendedOn =
    car.mended?.pivot === code
      ? history.visits.find((past) => past.stage === 'mending' && past.on <= visit.on)?.on
      : undefined;
  const play =
    fresh +
    (joint?.perYear ?? wear) * yearsSince(mendedOn ?? history.fittedOn, visit.on) +
    missing * SCENARIO.axialPerLostWasher +
    (car.mended?.pivot === code && visit.stage === 'before-last' ? SCENARIO.axialPerLostWasher : 0);
  return rounded(play + chance.error(SCENARIO.axialRepeatability), 0.01);
}

function radialOf({ history }: WorkSetting, visit: PastVisit, chance: Chance): number {
  const play = SCENARIO.radialNew + SCENARIO.radialPerYear * yearsSince(history.fittedOn, visit.on);
  return rounded(play + chance.error(SCENARIO.radialRepeatability), 0.01);
}
