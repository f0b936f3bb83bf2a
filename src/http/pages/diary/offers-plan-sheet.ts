import { voiceFor } from '../../../views/words/voice.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import { mondayOfIsoWeek } from '../../../domain/calendar/day.ts';
import { localeOf } from '../../../views/words/locale.ts';
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

const EN = localeOf('en-GB');

/** What would be offered to whom if it were done now; nothing is written by looking at it. */
export function offersPlanSheet(
  plan: OffersPlanFacts,
  once: string,
  sent: Sent | null,
): [Frame, OffersPlanModel] {
  const { made } = plan.offers;
  const placed = [...plan.placed, ...plan.outside];
  const model: OffersPlanModel = {
    form: formOf('/diary/plan', once, sent, []),
    lead: leadOf(plan),
    button: made === 0 ? 'Go over the offers' : `Make ${counted(made, 'offer')}`,
    says: plan.says,
    weeks: plan.weeks.flatMap((id) => {
      const rows = placed.filter(({ week }) => week === id).map(rowOf);
      return rows.length === 0
        ? []
        : [{ heading: weekInWords(id, mondayOfIsoWeek(id), voiceFor('en')), rows }];
    }),
    unplaced: plan.unplaced.map((visit) => ({
      ...rowOf({ ...visit, week: '', offered: [] }),
      offered: visit.reason === 'no-room' ? 'no room in these weeks' : 'later than these weeks',
    })),
    because: plan.because,
  };
  return [{ lang: 'en', title: 'Weeks to offer', nav: { here: 'today' } }, model];
}

function leadOf({ offers, leftToCalls, notWritten, weeks }: OffersPlanFacts): string {
  const { made, kept, ended } = offers;
  return [
    `In the next ${weeks.length} weeks: ${counted(made, 'offer')} to be made, ${kept} standing as ${kept === 1 ? 'it is' : 'they are'}, ${ended} to be withdrawn.`,
    ...(leftToCalls === 0
      ? []
      : [
          `${counted(leftToCalls, 'top')} long overdue ${leftToCalls === 1 ? 'is' : 'are'} left to the call list.`,
        ]),
    ...(notWritten === 0
      ? []
      : [
          `${counted(notWritten, 'owner')} of these weeks cannot be written to or ${notWritten === 1 ? 'wants' : 'want'} no offers: ring ${notWritten === 1 ? 'that one' : 'them'}.`,
        ]),
    'Nothing is written yet.',
  ].join(' ');
}

function rowOf({
  topId,
  registration,
  ownerName,
  standing,
  kind,
  dueOn,
  minutes,
  offered,
}: PlacedFacts): RowModel {
  const due = dueOn === null ? '' : `, oil due on ${EN.day(dueOn)}`;
  const weeks = offered.map((id) => String(Number(id.slice(-2))));
  return {
    href: `/tops/${topId}`,
    registration,
    words: `${ownerName}: ${kind}, ${minutes} minutes${due}`,
    offered:
      standing === 'booked'
        ? 'booked'
        : weeks.length === 0
          ? 'keeps its place'
          : `choice of ${weeks.length === 1 ? 'week' : 'weeks'} ${EN.list(weeks)}`,
  };
}

function counted(count: number, word: string): string {
  return `${EN.number(count)} ${count === 1 ? word : `${word}s`}`;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'offers-plan': OffersPlanModel;
  }
}
