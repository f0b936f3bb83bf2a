import type {
  EstimateCame,
  EstimatePageRecord,
} from '../../../usecases/estimates/estimate-by-link.ts';
import type { EstimateLineRecord } from '../../../usecases/estimates/estimate-records.ts';
import { speakerOf } from '../../../views/letters/sheet.ts';
import { type StayWords, stayWords } from '../../../views/letters/stay.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';
import { unbroken } from '../frame/phone-words.ts';

export interface AnswerModel {
  /** The top must not be moved: said before anything else. */
  readonly stay: StayWords | null;
  readonly heading: string;
  readonly notice: string | null;
  readonly lead: readonly string[];
  readonly works: readonly {
    readonly id: string;
    readonly text: string;
    readonly amount: string;
    readonly parts: readonly { readonly text: string; readonly amount: string }[];
    /** What was answered; empty while nothing was. */
    readonly answer: string;
  }[];
  /** What is done once for some of the work; empty where nothing is. */
  readonly shared: readonly { readonly text: string; readonly amount: string }[];
  readonly sums: readonly { readonly label: string; readonly value: string }[];
  readonly words: string;
  /** Null where there is nothing to answer any more. */
  readonly form: {
    readonly was: string;
    readonly want: string;
    readonly all: string;
    readonly chosen: string;
    readonly none: string;
    readonly hint: string;
  } | null;
  readonly booking: { readonly words: string; readonly action: string } | null;
  readonly contact: string;
  readonly sender: readonly string[];
}

/** The page behind a link to an estimate: what it says, and where it is answered. */
export function answerSheet(
  { estimate, organisation, registration, mayMove, open, booking }: EstimatePageRecord,
  voice: Voice,
  token: string,
  came: EstimateCame | null,
): [Frame, AnswerModel] {
  const { say } = voice;
  const speaker = speakerOf(voice.language);
  const money = (units: number) => speaker.money(estimate.currency, units);
  const { name, kind, postalAddress, phone } = organisation;
  const { number, lines, holdsUntil } = estimate;
  const until = holdsUntil === null ? '' : voice.day(holdsUntil);
  const shared = lines.filter((line) => line.kind === 'cover-off');
  const model: AnswerModel = {
    stay: stayWords([{ registration, ...mayMove }], { kind, phone }, speaker),
    heading: say('estimate.heading', { number: String(number), car: registration }),
    notice: came === null ? null : say(`estimate.${came}`),
    lead: [say(leadOf(estimate.state, open), { organisation: name, until })],
    works: lines
      .filter((line) => line.kind === 'work')
      .map((line) => ({
        id: line.id,
        ...told(line, money),
        parts: lines
          .filter((one) => one.kind === 'part' && one.work === line.work)
          .map((one) => told(one, money)),
        answer: line.answer === null ? '' : say(`estimate.${line.answer}`),
      })),
    shared: shared.map((line) => told(line, money)),
    sums: sumsOf(estimate, money, voice),
    words: estimate.words ?? '',
    form: open
      ? {
          was: String(estimate.version),
          want: say('estimate.want'),
          all: say('estimate.all'),
          chosen: say('estimate.chosen'),
          none: say('estimate.none'),
          hint: say(shared.length > 0 ? 'estimate.hint.shared' : 'estimate.hint'),
        }
      : null,
    booking: booking ? { words: say('estimate.day'), action: `/e/${token}/day` } : null,
    contact:
      phone === null
        ? say('estimate.contact')
        : say('estimate.contact.phone', { phone: unbroken(phone) }),
    sender: [name, ...(postalAddress ?? '').split('\n')].filter((line) => line.trim() !== ''),
  };
  return [{ lang: voice.language, title: model.heading, nav: null }, model];
}

function told({ text, amount }: EstimateLineRecord, money: (units: number) => string) {
  return { text, amount: money(amount) };
}

function leadOf(state: EstimatePageRecord['estimate']['state'], open: boolean): string {
  if (open) return 'estimate.lead';
  if (state === 'sent') return 'estimate.lead.over';
  return `estimate.lead.${state === 'draft' ? 'withdrawn' : state}`;
}

function sumsOf(
  { sum, agreed, taxName }: EstimatePageRecord['estimate'],
  money: (units: number) => string,
  { say }: Voice,
): AnswerModel['sums'] {
  const { net, tax, total } = sum;
  return [
    ...(tax === null
      ? []
      : [
          { label: say('estimate.net'), value: money(net) },
          { label: taxName ?? say('estimate.tax'), value: money(tax) },
        ]),
    { label: say('estimate.total'), value: money(total) },
    ...(agreed === null ? [] : [{ label: say('estimate.agreed'), value: money(agreed.total) }]),
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'estimate-answer': AnswerModel;
  }
}
