import { voiceFor } from '../../../views/words/voice.ts';
import { moneyWords, shortDecimal } from '../../../domain/money/amount.ts';
import { currencyOf } from '../../../domain/money/currency.ts';
import type {
  EstimateLineRecord,
  EstimateRecord,
} from '../../../usecases/estimates/estimate-records.ts';
import type { EstimateDeskRecord } from '../../../usecases/estimates/read-estimates.ts';
import { speaksWork } from '../../../domain/estimates/draft.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { FormModel, Sent, TickModel } from '../frame/form.ts';
import { formOf, tick } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import { type DraftFieldsModel, draftFields } from './estimate-form.ts';

export interface EstimateModel extends ShopStay {
  readonly heading: string;
  readonly done: string;
  readonly workHref: string;
  readonly registration: string;
  readonly owner: string;
  readonly sender: readonly string[];
  /** How it stands, and what to do next. */
  readonly state: readonly string[];
  /** What the owner reads, where it is not what is drafted here; else empty. */
  readonly reads: string;
  readonly lines: readonly {
    readonly text: string;
    readonly of: string;
    readonly each: string;
    readonly amount: string;
    readonly answer: string;
    readonly isPart: boolean;
  }[];
  readonly sums: readonly { readonly label: string; readonly value: string }[];
  readonly words: string;
  readonly version: string;
  readonly once: string;
  readonly own: string;
  readonly wrong: FormModel;
  readonly draft: (FormModel & DraftFieldsModel) | null;
  readonly sends: boolean;
  /** The answer as it came by telephone or at the counter. */
  readonly answer: { readonly ticks: readonly TickModel[] } | null;
  readonly ends: boolean;
  readonly redraft: boolean;
  readonly booking: string | null;
}

const EN = localeOf('en-GB');

const DONE: Readonly<Record<string, string>> = {
  made: 'This is a draft from the work that is open. Put it right; nobody has been written to.',
  kept: 'Kept. Nobody has been written to.',
  sent: 'Sent. It waits for the owner’s answer.',
  withdrawn: 'Taken back. Its link says so.',
  answered: 'The answer is noted with the day.',
  redrafted: 'A new draft from the one before, which holds until this one is sent.',
};

/** An estimate as the shop sees it: to be put right, sent, answered, printed. */
export function estimateSheet(
  { estimate, reader, mayMove }: EstimateDeskRecord,
  {
    records,
    sends,
    done,
    once,
    sent,
  }: {
    readonly records: boolean;
    readonly sends: boolean;
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
  },
): [Frame, EstimateModel] {
  const { id, number, state, currency, lines } = estimate;
  const own = `/estimates/${id}`;
  const money = (units: number) => moneyWords(EN.tag, currencyOf(currency), units);
  const fields = draftFields(estimate, sent);
  const model: EstimateModel = {
    ...shopStay(reader.registration, mayMove, voiceFor('en')),
    heading: `Estimate ${number}`,
    done: DONE[done ?? ''] ?? '',
    workHref: `/cars/${estimate.carId}/work`,
    registration: reader.registration,
    owner: reader.ownerName,
    sender: [reader.organisationName, ...(reader.postalAddress ?? '').split('\n')].filter(Boolean),
    state: stateWords(estimate),
    reads: state === 'draft' ? languageWords(reader.language, lines) : '',
    lines: lines.map((line) => lineModel(line, money)),
    sums: sumModels(estimate, money),
    words: estimate.words ?? '',
    version: String(estimate.version),
    once,
    own,
    wrong: formOf(own, once, state === 'draft' ? null : sent, []),
    draft:
      records && state === 'draft' ? { ...formOf(own, once, sent, fields.all), ...fields } : null,
    sends: sends && state === 'draft',
    answer:
      records && state === 'sent'
        ? {
            ticks: lines
              .filter(({ kind }) => kind === 'work')
              .map((line) => tick(null, `take/${line.id}`, line.text, true)),
          }
        : null,
    ends: records && (state === 'draft' || state === 'sent'),
    redraft: records && state !== 'draft',
    booking:
      records && (estimate.agreed?.net ?? 0) > 0
        ? `/tops/${estimate.topId}/booking?kind=repair`
        : null,
  };
  return [{ lang: 'en', title: model.heading, nav: { here: 'faults' } }, model];
}

/** What of the lines is not in the owner's language; empty where all of it is. */
function languageWords(language: string, lines: readonly EstimateLineRecord[]): string {
  if (/^en\b/.test(language)) return '';
  const name = new Intl.DisplayNames('en', { type: 'language' }).of(language) ?? language;
  if (!speaksWork(language)) {
    return `The owner reads ${name}. The lines are drafted in English: put them into words the owner knows before you send them.`;
  }
  const byHand = lines.some(({ kind, fault }) => kind === 'work' && fault === null);
  return byHand
    ? `The owner reads ${name}, and the lines are drafted so. What somebody wrote at a finding stands as it was written: look whether the owner understands it.`
    : '';
}

/** How an estimate stands, in the words of the shop's pages. */
export function stateWords(estimate: EstimateRecord): string[] {
  const { state, holdsUntil, answeredAt, madeOn } = estimate;
  switch (state) {
    case 'draft':
      return [`A draft of ${EN.day(madeOn)}. The owner knows nothing of it yet.`];
    case 'sent':
      return [
        `Waits for the owner’s answer. It holds until ${holdsUntil === null ? '' : EN.day(holdsUntil)}.`,
      ];
    case 'answered':
      return [
        `${answerWords(estimate)} on ${EN.day((answeredAt ?? '').slice(0, 10))}. What was declined is told at the next visit.`,
      ];
    case 'replaced':
      return ['A later estimate took its place. Its link says so.'];
    case 'withdrawn':
      return ['Taken back. Its link says so.'];
  }
}

function answerWords({ lines }: EstimateRecord): string {
  const works = lines.filter(({ kind }) => kind === 'work');
  const agreed = works.filter(({ answer }) => answer === 'accepted').length;
  if (agreed === works.length) return 'Accepted as a whole';
  return agreed === 0
    ? 'Declined as a whole'
    : `${agreed} of ${works.length} pieces of work accepted`;
}

/** What a line is of: "1.5 h", "4 pieces". */
export function quantityWords({ kind, quantity }: EstimateLineRecord): string {
  const of = shortDecimal(quantity, 2);
  return kind === 'part' ? `${of} ${of === '1' ? 'piece' : 'pieces'}` : `${of} h`;
}

function lineModel(
  line: EstimateLineRecord,
  money: (units: number) => string,
): EstimateModel['lines'][number] {
  const { kind, text, unitPrice, amount, answer } = line;
  return {
    text,
    of: quantityWords(line),
    each: unitPrice === null ? 'not said yet' : money(unitPrice),
    amount: unitPrice === null ? '' : money(amount),
    answer: answer ?? '',
    isPart: kind === 'part',
  };
}

function sumModels(
  { sum, agreed, taxName }: EstimateRecord,
  money: (units: number) => string,
): EstimateModel['sums'] {
  const { net, tax, total } = sum;
  return [
    ...(tax === null
      ? []
      : [
          { label: 'Sum without tax', value: money(net) },
          { label: taxName ?? 'Tax', value: money(tax) },
        ]),
    { label: 'In all', value: money(total) },
    ...(agreed === null || agreed.total === total
      ? []
      : [{ label: 'Of which agreed', value: money(agreed.total) }]),
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly estimate: EstimateModel;
  }
}
