import type { Day } from '../../domain/calendar/day.ts';
import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { PatternPivot } from '../../domain/pivots/frame-patterns.ts';
import { sideOf } from '../../domain/pivots/frame-patterns.ts';
import type { PivotReport } from '../../domain/pivots/pivot-report.ts';
import type { Projection } from '../../domain/pivots/projection.ts';
import { pivotReports } from '../../domain/pivots/pivot-reports.ts';
import { dryNoMore } from '../../domain/pivots/signs.ts';
import type { PivotRecord } from '../../domain/pivots/series.ts';
import type { PriorOf } from '../../domain/pivots/wear-pool.ts';
import { standing } from '../../domain/pivots/series.ts';
import { STATE_VERDICTS, VERDICTS } from '../../domain/pivots/state.ts';
import { washersMissing } from '../../domain/pivots/washers.ts';
import type { ReadPivot } from '../../store/visits/reading-rows.ts';
import { flag } from '../../store/database/sql.ts';
import type { FoundRow } from '../../store/visits/visit-letter-rows.ts';
import type { LetterModel } from '../../views/letters/models.ts';
import type { Speaker } from '../../views/letters/sheet.ts';
import { jointInWords } from '../../views/letters/stay.ts';

export type PivotsPart = LetterModel<'visit-report'>['pivots'];

/**
 * The pivots of a visit's report: how many were seen to, and every one of the frame that needs more
 * than oil, the worst first, each with a sentence in the reader's language. A lubrication visit
 * recorded without readings is one on which every pivot was oiled.
 */
export function pivotsPart(
  read: readonly ReadPivot[],
  found: readonly FoundRow[],
  visit: { readonly kind: string; readonly doneOn: Day },
  context: {
    readonly today: Day;
    readonly own: OwnFigures;
    readonly speaker: Speaker;
    /** What other cars tell of wear, so that the letter names the days that the pages name. */
    readonly priorOf: PriorOf | undefined;
    /** Where the joints stand in a drawing of the frame. */
    readonly pattern: readonly PatternPivot[];
  },
): PivotsPart {
  const { today, own, speaker, priorOf, pattern } = context;
  const records = read.filter(({ retiredOn }) => retiredOn === null).map(({ record }) => record);
  const figures = figuresFor('pivots', own);
  const { pivots } = pivotReports(records, { today, figures, priorOf });
  const worst = records
    .map((record, i) => ({ record, report: pivots[i] }))
    .flatMap(({ record, report }) =>
      report === undefined || report.verdict === 'good' ? [] : [{ record, report }],
    )
    .sort((a, b) => VERDICTS.indexOf(b.report.verdict) - VERDICTS.indexOf(a.report.verdict));
  const unlisted = found.length === 0 && visit.kind === 'lubrication' ? records.length : 0;
  const checked = found.length + unlisted;
  const places = new Map(pattern.map(({ code, x, y }) => [code, { x, y }]));
  return {
    checked,
    unseen: Math.max(0, records.length - checked),
    repaired: found.filter(({ repaired }) => flag(repaired)).map(({ code }) => code),
    notOiled: found
      .filter(({ oiled }) => visit.kind === 'lubrication' && !flag(oiled))
      .map(({ code }) => code),
    frame: records.map((record, i) => ({
      code: record.code,
      side: sideOf(record.code),
      kind: record.kind,
      verdict: pivots[i]?.verdict ?? 'good',
      ...(places.get(record.code) ?? { x: null, y: null }),
    })),
    oiled: found.filter(({ oiled }) => flag(oiled)).length + unlisted,
    washersMissing: found
      .filter(({ repaired }) => !flag(repaired))
      .reduce((sum, pivot) => sum + washersMissing(pivot), 0),
    worst: worst.map(({ record, report }) => ({
      code: record.code,
      verdict: report.verdict,
      sentence: sentenceOf(record, report, visit.doneOn, today, speaker),
    })),
  };
}

/** What is known of one pivot, in the reader's language: "Left link pivot 1 is stiff; 1 washer missing." */
function sentenceOf(
  record: PivotRecord,
  report: PivotReport,
  doneOn: Day,
  today: Day,
  speaker: Speaker,
): string {
  const { say, language } = speaker;
  const now = standing(record, today);
  const parts: string[] = [];
  const state = now.states.at(-1);
  const washers = now.washers.at(-1);
  const missing = washersMissing({
    washersExpected: record.washersExpected,
    washersPresent: washers?.present ?? null,
  });
  if (missing > 0) parts.push(speaker.count('pivot.washers', missing));
  const play = now.readings.findLast(({ method }) => method === report.method);
  if (play !== undefined) {
    const mm = new Intl.NumberFormat(language, { maximumFractionDigits: 2 }).format(play.mm);
    parts.push(say(`pivot.play.${play.method}`, { mm }));
  }
  const ahead = report.planOn ?? report.actOn;
  if (ahead !== null && ahead.likely > today) parts.push(reachesInWords(ahead, today, speaker));
  const lastOn = [state, washers, play].reduce<Day>(
    (last, one) => (one !== undefined && one.doneOn > last ? one.doneOn : last),
    '',
  );
  if (lastOn !== '' && lastOn < doneOn)
    parts.push(say('pivot.foundOn', { day: speaker.day(lastOn) }));
  const joint = jointInWords(record.code, speaker);
  const bad = state !== undefined && STATE_VERDICTS[state.state] !== 'good' ? state.state : null;
  const word = state !== undefined && dryNoMore(state) ? 'oiled' : (bad ?? 'else');
  const head = bad === null && parts.length > 0 ? `${joint}: ` : say(`found.${word}`, { joint });
  const sentence = `${head}${bad !== null && parts.length > 0 ? '; ' : ''}${parts.join('; ')}`;
  return `${sentence.slice(0, 1).toLocaleUpperCase(language)}${sentence.slice(1)}.`;
}

/** When a joint meets its limit, no finer than the readings tell: a month, and between which. */
function reachesInWords(
  { likely, earliest, latest }: Projection,
  today: Day,
  speaker: Speaker,
): string {
  const { say } = speaker;
  const month = speaker.month(likely);
  const to = latest === null ? null : speaker.month(latest);
  if (earliest <= today) {
    return to === null
      ? say('pivot.reaches.any', { month })
      : say('pivot.reaches.met', { month, to });
  }
  const from = speaker.month(earliest);
  return to === null
    ? say('pivot.reaches.open', { month, from })
    : say('pivot.reaches', { month, from, to });
}
