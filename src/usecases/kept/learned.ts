import type { Outcomes, Tally } from '../../domain/calls/calibration.ts';
import { outcomesOf, tallyOf } from '../../domain/calls/calibration.ts';
import { ObservedLives } from '../../domain/life/washer-life.ts';
import { VISIT_KINDS } from '../../domain/bench/minutes.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { Sql } from '../../store/database/sql.ts';
import { flag } from '../../store/database/sql.ts';
import { ownRulesOf } from '../../store/organisations/figure-rows.ts';
import { patternsInUse } from '../../store/tops/pattern-rows.ts';
import type { DiaryCalendar } from '../bench/diary-calendar.ts';
import type { LengthOf, VisitLength } from '../bench/diary-visits.ts';
import { lengthsOfVisits } from '../bench/diary-visits.ts';
import { ownFiguresFrom } from '../figures/shop-rules.ts';
import { othersFirst } from '../context/turns.ts';
import { eachJoint } from '../tops/joint-facts.ts';
import type { OwnLives } from '../tops/washer-histories.ts';
import { ownLives } from '../tops/washer-histories.ts';

/**
 * What an organisation's records teach about all of its cars, and its own figures with which they were
 * read. It goes into every chance and length that is kept of a car.
 */
export interface Learned {
  readonly ownRules: string;
  readonly timeZone: string;
  readonly outcomes: Outcomes[];
  readonly lives: OwnLives;
  readonly lengthOf: LengthOf;
}

/** The same as it is kept. */
interface LearnedText extends Omit<Learned, 'lives' | 'lengthOf'> {
  readonly lives: [string, unknown][];
  readonly lengths: Record<string, VisitLength>;
}

/** Reads all joints and all visits of an organisation, others having their turn. */
export async function learn(sql: Sql, calendar: DiaryCalendar): Promise<string> {
  const { organisationId, timeZone } = calendar;
  const ownRules = (await ownRulesOf(sql, organisationId)) ?? '{}';
  const own = ownFiguresFrom(ownRules);
  const observed = new ObservedLives('exposure');
  const tallies: Tally[] = [];
  for await (const { joints, washerRecords } of eachJoint(sql, organisationId)) {
    observed.add(washerRecords);
    const onCars = [...joints.values()].flat();
    tallies.push(tallyOf(onCars.map(({ pivot: { record, oiledOn } }) => ({ ...record, oiledOn }))));
  }
  const outcomes = outcomesOf(tallies, figuresFor('calls', own));
  await othersFirst();
  const lives = ownLives(observed, figuresFor('life', own));
  await othersFirst();
  const lengthOf = await lengthsOfVisits(sql, calendar);
  const lengths: Record<string, VisitLength> = {};
  for (const top of await patternsInUse(sql, organisationId)) {
    for (const kind of VISIT_KINDS) lengths[lengthKey(kind, top)] = lengthOf(kind, top);
  }
  const kept: LearnedText = { ownRules, timeZone, outcomes, lives: [...lives], lengths };
  return JSON.stringify(kept);
}

/** Reads what was kept; the usual length where no visit of a kind to a pattern was known then. */
export function learnedFrom(text: string, usualLength: LengthOf): Learned {
  const { lives, lengths, ...learned } = JSON.parse(text) as LearnedText;
  return {
    ...learned,
    lives: new Map(lives) as OwnLives,
    lengthOf: (kind, top) => lengths[lengthKey(kind, top)] ?? usualLength(kind, top),
  };
}

function lengthKey(kind: string, top: { framePattern: string; powered: unknown }): string {
  return `${kind} ${flag(top.powered)} ${top.framePattern}`;
}
