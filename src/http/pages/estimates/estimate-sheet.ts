import { moneyWords } from '../../../domain/money/amount.ts';
import { currencyOf } from '../../../domain/money/currency.ts';
import type {
  EstimateLineRecord,
  EstimateRecord,
} from '../../../usecases/estimates/estimate-records.ts';
import type { EstimateDeskRecord } from '../../../usecases/estimates/read-estimates.ts';
import { speaksWork } from '../../../domain/estimates/draft.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FormModel, Sent, TickModel } from '../frame/form.ts';
import { formOf, tick } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import { nobodyLeft, type NobodyModel } from '../frame/nobody-words.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import { type DraftFieldsModel, draftFields } from './estimate-form.ts';

export interface EstimateModel extends ShopStay {
  readonly heading: string;
  /** The language that the lines are written in. */
  readonly reader: string;
  readonly done: string;
  readonly workHref: string;
  readonly nobody: NobodyModel | null;
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

const DONE: readonly string[] = ['made', 'kept', 'sent', 'withdrawn', 'answered', 'redrafted'];

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
  voice: Voice,
): [Frame, EstimateModel] {
  const { say } = voice;
  const { id, number, state, currency, lines } = estimate;
  const own = `/estimates/${id}`;
  const erased = reader.ownerErasedAt !== null && reader.carOwnerId === estimate.ownerId;
  const money = (units: number) => moneyWords(voice.locale.tag, currencyOf(currency), units);
  const fields = draftFields(estimate, sent, voice);
  const model: EstimateModel = {
    ...shopStay(reader.registration, mayMove, voice),
    heading: say('estimates.number', { number: String(number) }),
    reader: speaksWork(reader.language) ? reader.language : 'en',
    done: DONE.includes(done ?? '') ? say(`estimates.done.${done ?? ''}`) : '',
    nobody: nobodyLeft({ erased, carId: estimate.carId, gives: sends }, voice),
    workHref: `/cars/${estimate.carId}/work`,
    registration: reader.registration,
    owner: reader.ownerName,
    sender: [reader.organisationName, ...(reader.postalAddress ?? '').split('\n')].filter(Boolean),
    state: [stateWords(estimate, voice)],
    reads: state === 'draft' ? languageWords(reader.language, lines, voice) : '',
    lines: lines.map((line) => lineModel(line, money, voice)),
    sums: sumModels(estimate, money, voice),
    words: estimate.words ?? '',
    version: String(estimate.version),
    once,
    own,
    wrong: formOf(own, once, state === 'draft' ? null : sent, []),
    draft:
      records && state === 'draft' ? { ...formOf(own, once, sent, fields.all), ...fields } : null,
    sends: sends && !erased && state === 'draft',
    answer:
      records && state === 'sent'
        ? {
            ticks: lines
              .filter(({ kind }) => kind === 'work')
              .map((line) => tick(null, `take/${line.id}`, line.text, true)),
          }
        : null,
    ends: records && (state === 'draft' || state === 'sent'),
    redraft: records && !erased && state !== 'draft',
    booking:
      records && !erased && (estimate.agreed?.net ?? 0) > 0
        ? `/tops/${estimate.topId}/booking?kind=repair`
        : null,
  };
  return [{ lang: voice.language, title: model.heading, nav: { here: 'faults' } }, model];
}

/** What of the lines is not in the owner's language; empty where all of it is. */
function languageWords(
  tag: string,
  lines: readonly EstimateLineRecord[],
  { say, language: own }: Voice,
): string {
  if (/^en\b/.test(tag)) return '';
  const language = new Intl.DisplayNames(own, { type: 'language' }).of(tag) ?? tag;
  if (!speaksWork(tag)) return say('estimates.reads.other', { language });
  const byHand = lines.some(({ kind, fault }) => kind === 'work' && fault === null);
  return byHand ? say('estimates.reads.own', { language }) : '';
}

/** How an estimate stands, in the words of the shop's pages. */
export function stateWords(estimate: EstimateRecord, voice: Voice): string {
  const { state, holdsUntil, answeredAt, madeOn } = estimate;
  const { say } = voice;
  switch (state) {
    case 'draft':
      return say('estimates.state.draft', { day: voice.day(madeOn) });
    case 'sent':
      return say('estimates.state.sent', { day: holdsUntil === null ? '' : voice.day(holdsUntil) });
    case 'answered':
      return answerWords(estimate, voice.day((answeredAt ?? '').slice(0, 10)), voice);
    case 'replaced':
    case 'withdrawn':
      return say(`estimates.state.${state}`);
  }
}

function answerWords({ lines }: EstimateRecord, day: string, { say }: Voice): string {
  const works = lines.filter(({ kind }) => kind === 'work');
  const agreed = works.filter(({ answer }) => answer === 'accepted').length;
  if (agreed === works.length) return say('estimates.state.accepted', { day });
  const answer =
    agreed === 0
      ? say('estimates.answer.none')
      : say('estimates.answer.part', { agreed: String(agreed), works: String(works.length) });
  return say('estimates.state.answered', { answer, day });
}

/** What a line is of: "1.5 h", "4 pieces". */
function quantityWords(
  { kind, quantity }: EstimateLineRecord,
  { locale, say, count }: Voice,
): string {
  const of = quantity / 100;
  return kind === 'part'
    ? count('estimates.pieces', of)
    : say('estimates.hours', { hours: locale.number(of) });
}

function lineModel(
  line: EstimateLineRecord,
  money: (units: number) => string,
  voice: Voice,
): EstimateModel['lines'][number] {
  const { kind, text, unitPrice, amount, answer } = line;
  return {
    text,
    of: quantityWords(line, voice),
    each: unitPrice === null ? voice.say('estimates.unsaid') : money(unitPrice),
    amount: unitPrice === null ? '' : money(amount),
    answer: answer === null ? '' : voice.say(`estimates.answer.${answer}`),
    isPart: kind === 'part',
  };
}

function sumModels(
  { sum, agreed, taxName }: EstimateRecord,
  money: (units: number) => string,
  { say }: Voice,
): EstimateModel['sums'] {
  const { net, tax, total } = sum;
  return [
    ...(tax === null
      ? []
      : [
          { label: say('estimates.net'), value: money(net) },
          { label: taxName ?? say('estimates.tax'), value: money(tax) },
        ]),
    { label: say('estimates.total'), value: money(total) },
    ...(agreed === null || agreed.total === total || agreed.total === 0
      ? []
      : [{ label: say('estimates.agreed'), value: money(agreed.total) }]),
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly estimate: EstimateModel;
  }
}
