import type { OutgoingLetter } from '../../src/mail/outgoing.ts';
import type { Sender, SendOutcome } from '../../src/mail/sender.ts';
import { BROKEN_OFF } from '../../src/mail/send-outcome.ts';
import { openStore } from '../../src/store/database/open-store.ts';
import type { Store } from '../../src/store/database/store.ts';
import type { LetterRow } from '../../src/store/letters/letter-rows.ts';
import { addCar } from '../../src/usecases/cars/add-car.ts';
import { addOwner } from '../../src/usecases/owners/add-owner.ts';
import type { Caller, Context } from '../../src/usecases/context/context.ts';
import type {
  DeliveryOptions,
  DeliveryResult,
} from '../../src/usecases/delivery/deliver-letters.ts';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import { fitTop } from '../../src/usecases/tops/fit-top.ts';
import { callerOf, makeKey } from '../../src/usecases/organisations/organisations.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { begun } from '../setup/fresh-sqlite.ts';
import { takeServedStore } from '../setup/served-store.ts';
import { dropCareNotes } from '../setup/stored-letters.ts';

/** Noon on a day on which tops fitted a year before are due. */
export const NOON = '2026-06-12T11:00:00.000Z';
export const MAIL_FROM = { name: 'Foldkeep', address: 'care@example.org' };

export interface Household {
  readonly ownerId: string;
  readonly carId: string;
  readonly topId: string;
}

/** Records, a clock that the test sets, and letters on their way. */
export interface PostOffice {
  readonly context: Context;
  readonly store: Store;
  readonly caller: Caller;
  at(instant: string): void;
  /** An owner with one car whose top was fitted that day. */
  household(email: string, fittedOn?: string): Promise<Household>;
  round(): Promise<number>;
  deliver(sender: Sender, options?: Partial<DeliveryOptions>): Promise<DeliveryResult>;
  letters(): Promise<LetterRow[]>;
  /** The one letter there is, leaving cancelled ones out. */
  letter(): Promise<LetterRow>;
  close(): Promise<void>;
}

/** A post office over the database with this address. */
export async function openPostOffice(url: string, now = NOON): Promise<PostOffice> {
  const store = await openStore(begun(url));
  let clock = now;
  const context: Context = {
    store,
    now: () => clock,
    publicUrl: 'https://care.example.org',
    mailDomain: 'example.org',
  };
  const setNow = (instant: string) => {
    clock = instant;
  };
  return officeOn(context, setNow, () => store.close());
}

/** A post office over an empty database of this kind. */
export async function emptyPostOffice(dialect: Store['dialect']): Promise<PostOffice> {
  const { context, setNow, leave } = await takeServedStore(dialect);
  setNow(NOON);
  return officeOn(context, setNow, leave);
}

async function officeOn(
  context: Context,
  setNow: (instant: string) => void,
  close: () => Promise<void>,
): Promise<PostOffice> {
  const { store } = context;
  const { key } = await makeKey(context, { name: 'Elmyard Soft Tops' }, 'full');
  const caller = await callerOf(context, key);
  if (caller === null) throw new Error('no caller');
  const letters = () => store.sql.all<LetterRow>('SELECT * FROM "letter" ORDER BY "id"');
  return {
    context,
    store,
    caller,
    at: setNow,
    async household(email, fittedOn = '2025-06-12') {
      const owner = await addOwner(context, caller, { name: 'Ada Quill', email });
      const car = await addCar(context, caller, {
        ownerId: owner.id,
        registration: 'FK 1',
        keeping: { place: 'outdoors', salt: 'none', use: 'summer' },
      });
      const top = await fitTop(context, caller, {
        carId: car.id,
        fittedOn,
        framePattern: 'four-seat-manual',
        cover: { material: 'cloth' },
        window: 'glass',
      });
      return { ownerId: owner.id, carId: car.id, topId: top.id };
    },
    // Care notes come and go with the season; these tests are about letters that can be untrue.
    async round() {
      await planRound(context);
      await store.writeSql(dropCareNotes);
      return (await letters()).length;
    },
    deliver: (sender, options = {}) =>
      deliverLetters(context, sender, { mailFrom: MAIL_FROM, ...options }),
    letters,
    async letter() {
      const [one, ...more] = (await letters()).filter(({ state }) => state !== 'cancelled');
      if (one === undefined || more.length > 0) throw new Error(`${more.length + 1} letters`);
      return one;
    },
    close,
  };
}

export type Fate = SendOutcome | ((letter: OutgoingLetter) => SendOutcome | Promise<SendOutcome>);

export const SENT: SendOutcome = { kind: 'sent', response: '250 2.0.0 queued' };

/**
 * A sender whose outcomes are written beforehand, the last one for ever; it keeps what it got. Like a
 * real one it asks before a letter ends, where the outcome is one that only an ended letter has, or
 * the script is a function: that is what the server does once it has the whole letter.
 */
export function scripted(...fates: Fate[]): Sender & { readonly got: OutgoingLetter[] } {
  const got: OutgoingLetter[] = [];
  return {
    got,
    async send(letter, beforeEnd = () => Promise.resolve(true)) {
      const fate = fates[Math.min(got.length, fates.length - 1)] ?? SENT;
      got.push(letter);
      const ends = typeof fate === 'function' || fate.kind === 'sent' || fate.kind === 'unknown';
      if (ends && !(await beforeEnd())) return BROKEN_OFF;
      return typeof fate === 'function' ? fate(letter) : fate;
    },
    close: async () => undefined,
  };
}
