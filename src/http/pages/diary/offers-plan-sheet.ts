import type { Voice } from '../../../views/words/voice.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import { mondayOfIsoWeek } from '../../../domain/calendar/day.ts';
import type { FormModel, Sent } from '../frame/form.ts';
import { formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { weekInWords } from '../frame/room-words.ts';

interface PlannedFacts {
  readonly standing: 'booked' | 'expected';
  readonly topId: string;
  readonly registration: string;
  readonly ownerName: string;
  readonly kind: string;
  readonly dueOn: Day | null;
  readonly minutes: number;
}

type PlacedFacts = PlannedFacts & { readonly week: string; readonly offered: readonly string[] };

export interface OffersPlanFacts {
  readonly weeks: readonly string[];
  readonly offers: { readonly made: number; readonly ended: number; readonly kept: number };
  readonly placed: readonly PlacedFacts[];
  readonly outside: readonly PlacedFacts[];
  readonly unplaced: readonly (PlannedFacts & { readonly reason: 'no-room' | 'after-horizon' })[];
  readonly leftToCalls: number;
  readonly notWritten: number;
  readonly says: readonly string[];
  readonly because: readonly string[];
}

interface RowModel {
  readonly href: string;
  readonly registration: string;
  readonly words: string;
  readonly offered: string;
}

export interface OffersPlanModel {
  readonly form: FormModel;
  readonly lead: string;
  readonly button: string;
  readonly says: readonly string[];
  readonly weeks: readonly { readonly heading: string; readonly rows: readonly RowModel[] }[];
  readonly unplaced: readonly RowModel[];
  readonly because: readonly string[];
}

/** What would be offered to whom if it were done now; nothing is written by looking at it. */
export function offersPlanSheet(
  plan: OffersPlanFacts,
  once: string,
  sent: Sent | null,
  voice: Voice,
): [Frame, OffersPlanModel] {
  const { say, count, tell } = voice;
  const { made } = plan.offers;
  const placed = [...plan.placed, ...plan.outside];
  const model: OffersPlanModel = {
    form: formOf('/diary/plan', once, sent, []),
    lead: leadOf(plan, voice),
    button: made === 0 ? say('offers.go-over') : count('offers.make', made),
    says: plan.says.map(tell),
    weeks: plan.weeks.flatMap((id) => {
      const rows = placed.filter(({ week }) => week === id).map((visit) => rowOf(visit, voice));
      return rows.length === 0
        ? []
        : [{ heading: weekInWords(id, mondayOfIsoWeek(id), voice), rows }];
    }),
    unplaced: plan.unplaced.map((visit) => ({
      ...rowOf({ ...visit, week: '', offered: [] }, voice),
      offered: say(visit.reason === 'no-room' ? 'offers.no-room' : 'offers.later'),
    })),
    because: plan.because.map(tell),
  };
  return [{ lang: voice.language, title: say('offers.title'), nav: { here: 'today' } }, model];
}

function leadOf(
  { offers, leftToCalls, notWritten, weeks }: OffersPlanFacts,
  { say, count }: Voice,
): string {
  const { made, kept, ended } = offers;
  return [
    say('offers.lead', {
      weeks: String(weeks.length),
      made: count('offers.count', made),
      kept: count('offers.kept', kept),
      ended: String(ended),
    }),
    ...(leftToCalls === 0 ? [] : [count('offers.calls', leftToCalls)]),
    ...(notWritten === 0 ? [] : [count('offers.ring', notWritten)]),
    say('offers.nothing'),
  ].join(' ');
}

function rowOf(
  { topId, registration, ownerName, standing, kind, dueOn, minutes, offered }: PlacedFacts,
  { say, count, day, locale }: Voice,
): RowModel {
  const work = {
    owner: ownerName,
    kind: say(`visit-kind.${kind}`),
    minutes: String(minutes),
  };
  const weeks = offered.map((id) => String(Number(id.slice(-2))));
  return {
    href: `/tops/${topId}`,
    registration,
    words:
      dueOn === null
        ? say('offers.row', work)
        : say('offers.row.due', { ...work, day: day(dueOn) }),
    offered:
      standing === 'booked'
        ? say('offers.booked')
        : weeks.length === 0
          ? say('offers.keeps')
          : count('offers.choice', weeks.length, { weeks: locale.list(weeks) }),
  };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'offers-plan': OffersPlanModel;
  }
}
