import type { ChooseCame, ChoosePageRecord } from '../../../usecases/care-days/choose-time.ts';
import { speakerOf } from '../../../views/letters/sheet.ts';
import { type StayWords, stayWords } from '../../../views/letters/stay.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';
import { unbroken } from '../frame/phone-words.ts';

export interface ChooseModel {
  /** The top must not be moved: said before anything else. */
  readonly stay: StayWords | null;
  readonly heading: string;
  readonly notice: string;
  readonly lead: readonly string[];
  readonly was: string;
  readonly timesHeading: string;
  readonly times: readonly { readonly value: string; readonly words: string }[];
  /** Other presses, each with what it does. */
  readonly wishes: readonly {
    readonly wish: string;
    readonly button: string;
    readonly words: string;
  }[];
  /** What can be ordered with the club; null where it is too late. */
  readonly order: {
    readonly heading: string;
    readonly words: string;
    readonly fields: readonly {
      readonly name: string;
      readonly label: string;
      readonly value: string;
    }[];
    readonly button: string;
  } | null;
  readonly contact: string;
  readonly sender: readonly string[];
}

/** The page behind a link to a care day: the times that are free, or the time that is agreed. */
export function chooseSheet(
  record: ChoosePageRecord,
  voice: Voice,
  came: ChooseCame | null,
): [Frame, ChooseModel] {
  const { say } = voice;
  const { organisation, free, standing, was } = record;
  const { name, postalAddress, phone } = organisation;
  const has = standing === 'placed';
  const model: ChooseModel = {
    stay: stayWords(
      [{ registration: record.registration, ...record.mayMove }],
      { kind: 'club', phone },
      speakerOf(voice.language),
    ),
    heading: say(has ? 'choose.heading.placed' : 'choose.heading', {
      day: voice.day(record.heldOn),
    }),
    notice: came === null ? '' : say(`choose.came.${came}`),
    lead: leadOf(record, voice),
    was,
    timesHeading: say(has ? 'choose.move' : 'choose.times'),
    times: free.map((time) => ({ value: time, words: say('choose.time', { time }) })),
    wishes: wishesOf(record, voice),
    order: orderOf(record, voice),
    contact: phone === null ? '' : say('choose.contact', { phone: unbroken(phone) }),
    sender: [name, ...(postalAddress ?? '').split('\n')].filter((line) => line.trim() !== ''),
  };
  return [{ lang: voice.language, title: say('choose.title'), nav: null }, model];
}

function leadOf(record: ChoosePageRecord, voice: Voice): string[] {
  const { say } = voice;
  const { organisation, registration, heldOn, place, from, until, minutes, standing } = record;
  const facts = { organisation: organisation.name, car: registration, place, from, until };
  const day = voice.day(heldOn);
  if (record.calledOff) return [say('choose.called-off', { day })];
  if (record.mayMove.verdict === 'leave') return [say('choose.stay', { day })];
  if (standing === 'done') return [say('choose.done', facts)];
  const where = say('choose.where', { ...facts, day });
  const long = voice.count('choose.minutes', minutes);
  const deadline =
    record.changeUntil === null
      ? say('choose.over')
      : say('choose.until', { day: voice.day(record.changeUntil) });
  switch (standing) {
    case 'placed':
      return [
        `${say('choose.lead.placed', { car: registration, time: record.start ?? '' })} ${long}`,
        where,
        deadline,
      ];
    case 'waiting':
      return [voice.count('choose.lead.waiting', record.ahead), where, deadline];
    case 'declined':
      return [say('choose.lead.declined', { car: registration }), where, deadline];
    case 'asked':
    case 'missed':
      return record.free.length > 0 || record.changeUntil === null
        ? [`${say('choose.lead', facts)} ${long}`, where, deadline]
        : [say('choose.lead.full', facts), where, deadline];
  }
}

function wishesOf(
  { changeUntil, standing, free }: ChoosePageRecord,
  { say }: Voice,
): ChooseModel['wishes'][number][] {
  if (changeUntil === null) return [];
  const wish = (name: string, key = name) => ({
    wish: name,
    button: say(`choose.button.${key}`),
    words: say(`choose.words.${key}`),
  });
  if (standing === 'placed') return [wish('give-back')];
  if (standing === 'waiting') return [wish('give-back', 'leave-line')];
  return [
    ...(free.length === 0 ? [wish('wait')] : []),
    ...(standing === 'declined' ? [] : [wish('give-back', 'decline')]),
  ];
}

function orderOf({ order }: ChoosePageRecord, { say }: Voice): ChooseModel['order'] {
  if (order === null) return null;
  return {
    heading: say('choose.order'),
    words: say('choose.order.words'),
    fields: [...order].map(([part, pieces]) => ({
      name: part,
      label: say(`choose.part.${part}`),
      value: String(pieces),
    })),
    button: say('choose.order.button'),
  };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly choose: ChooseModel;
  }
}
