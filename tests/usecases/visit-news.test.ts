import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { VisitLetterRow } from '../../src/store/visits/visit-letter-rows.ts';
import {
  isOwnDeed,
  isUnsent,
  newsOf,
  OWN_MARK,
  stillHolds,
} from '../../src/usecases/visits/visit-news.ts';
import { runs } from '../setup/runs.ts';

type Letter = Pick<VisitLetterRow, 'kind' | 'key' | 'state' | 'startedAt'> & {
  readonly place: string;
};
type Who = 'shop' | 'owner';
type Deed =
  | { readonly do: 'day'; readonly on: string; readonly by: Who }
  | { readonly do: 'call off'; readonly by: Who }
  | { readonly do: 'place'; readonly at: string }
  | { readonly do: 'leave' };

/** What an owner has in her mailbox and has done, and what waits, as the letters of a visit are kept. */
class Visit {
  state = 'none';
  on: string | null = null;
  place = 'The yard';
  /** The place that she was told last, or saw when she chose. */
  knowsPlace: string | null = null;
  readonly letters: Letter[] = [];
  /** What she was told or did herself, in order. */
  readonly knows: string[] = [];
  readonly told: {
    kind: string;
    from: string | null;
    to: string | null;
    knew: string | null;
    elsewhere: boolean;
  }[] = [];

  do(deed: Deed): void {
    if (deed.do === 'leave') {
      for (const letter of this.letters) {
        if (letter.state !== 'planned') continue;
        letter.state = 'delivered';
        this.knows.push(letter.kind === 'visit-called-off' ? 'off' : this.dayOf(letter));
        if (letter.kind !== 'visit-called-off') this.knowsPlace = letter.place;
      }
      return;
    }
    if (deed.do === 'place') {
      this.place = deed.at;
      this.tell(false);
      return;
    }
    if (deed.do === 'call off' && this.state !== 'booked') return;
    // The day that stands is not among those that an owner may choose.
    const stands = deed.do === 'day' && this.state === 'booked' && this.on === deed.on;
    if (stands && deed.by === 'owner') return;
    this.state = deed.do === 'day' ? 'booked' : 'cancelled';
    if (deed.do === 'day') this.on = deed.on;
    this.tell(deed.by === 'owner');
    if (deed.by !== 'owner') return;
    this.knows.push(deed.do === 'day' ? deed.on : 'off');
    if (deed.do === 'day') this.knowsPlace = this.place;
  }

  tell(byOwner: boolean): void {
    const { state, on: plannedOn, place } = this;
    const visit = { state, plannedOn, doneOn: null, dropOffAt: null, place };
    for (const letter of this.letters) {
      if (isUnsent(letter) && !stillHolds(visit, letter)) {
        letter.state = 'cancelled';
        letter.key += '#cancelled';
      }
    }
    const news = newsOf(visit, this.letters, { today: '2026-06-12', reportDays: 14, byOwner });
    if (news === null) return;
    const own = isOwnDeed(news, this.letters, byOwner) ? OWN_MARK : '';
    const { kind, when, previousOn, elsewhere } = news;
    const knew = this.knows.at(-1) ?? null;
    this.told.push({ kind, from: previousOn, to: this.on, knew, elsewhere });
    const key = `${kind}:visit:${when}${own}:${this.letters.length}`;
    this.letters.push({ kind, key, state: 'planned', startedAt: null, place });
  }

  dayOf({ key }: Letter): string {
    return key.split(/[:#@]/)[2] ?? '';
  }

  get waiting(): string[] {
    return this.letters.filter(isUnsent).map(({ kind }) => kind);
  }
}

const A = '2026-07-06';
const B = '2026-07-13';
const shop = (on: string): Deed => ({ do: 'day', on, by: 'shop' });
const owner = (on: string): Deed => ({ do: 'day', on, by: 'owner' });
const off = (by: Who): Deed => ({ do: 'call off', by });
const LEAVE: Deed = { do: 'leave' };
const at = (place: string): Deed => ({ do: 'place', at: place });

describe('what is told of a visit', () => {
  const rows: [string, Deed[], string | null][] = [
    ['a visit is first told as booked', [shop(A)], 'visit-booked'],
    ['also where it was moved before that', [shop(A), shop(B)], 'visit-booked'],
    ['a day that she was told is moved', [shop(A), LEAVE, shop(B)], 'visit-moved'],
    ['a visit never told is called off without a word', [shop(A), off('shop')], null],
    ['so is one that was moved untold', [shop(A), shop(B), off('shop')], null],
    ['one that she was told is called off', [shop(A), LEAVE, off('shop')], 'visit-called-off'],
    ['she chose it: she needs to know', [owner(A), off('shop')], 'visit-called-off'],
    ['and that it is on another day', [owner(A), shop(B)], 'visit-moved'],
    ['what she did herself is confirmed', [owner(A), off('owner')], 'visit-called-off'],
    ['as her first telling', [owner(A), owner(B)], 'visit-booked'],
    ['as moved from what she was told', [owner(A), LEAVE, owner(B)], 'visit-moved'],
    ['she saw it by an old link', [shop(A), off('owner')], 'visit-called-off'],
    ['what holds again is no news', [shop(A), LEAVE, shop(B), shop(A)], null],
    ['but is where she chose otherwise', [shop(A), LEAVE, owner(B), shop(A)], 'visit-moved'],
    ['another place is told', [shop(A), LEAVE, at('The barn')], 'visit-moved'],
    ['and to her who chose a time at the former', [owner(A), at('The barn')], 'visit-moved'],
    ['not where it was never told', [shop(A), at('The barn')], 'visit-booked'],
    ['nor where it is back', [shop(A), LEAVE, at('The barn'), at('The yard')], null],
    ['nor where it is written otherwise', [shop(A), LEAVE, at(' the  YARD')], null],
    ['nor twice called off', [shop(A), LEAVE, off('shop'), LEAVE, shop(B), off('shop')], null],
  ];
  it.each(rows)('%s', (_, deeds, kind) => {
    const visit = new Visit();
    for (const deed of deeds) visit.do(deed);
    expect(visit.waiting).toEqual(kind === null ? [] : [kind]);
  });

  it('speaks of no day that she could not know, and leaves her with how it stands', () => {
    const day = fc.constantFrom<string>(A, B, '2026-07-20');
    const who = fc.constantFrom<Who>('shop', 'owner');
    const deed = fc.oneof(
      fc.record({ do: fc.constant('day' as const), on: day, by: who }),
      fc.record({ do: fc.constant('call off' as const), by: who }),
      fc.constant(LEAVE),
      fc.constantFrom<Deed>(at('The yard'), at('The barn'), at('The hall')),
    );
    fc.assert(
      fc.property(fc.array(deed, { maxLength: 12 }), (deeds) => {
        const visit = new Visit();
        for (const one of deeds) {
          visit.do(one);
          expect(visit.waiting.length).toBeLessThanOrEqual(1);
          // Asked again, nothing is said twice.
          const before = visit.letters.length;
          visit.tell(false);
          expect(visit.letters).toHaveLength(before);
        }
        const chosen = deeds.flatMap((one) =>
          one.do === 'day' && one.by === 'owner' ? [one.on] : [],
        );
        const moved = visit.told.filter(({ kind }) => kind === 'visit-moved');
        for (const { from } of moved) expect(visit.knows).toContain(from);
        const first = visit.told.filter(({ kind }) => kind === 'visit-booked');
        for (const { knew } of first) expect([null, 'off', ...chosen]).toContain(knew);
        visit.do(LEAVE);
        const last = visit.knows.at(-1) ?? 'off';
        expect(last).toBe(visit.state === 'booked' ? visit.on : 'off');
        expect(visit.state === 'booked' ? visit.knowsPlace : visit.place).toBe(visit.place);
        for (const { from, to } of moved.filter(({ elsewhere }) => elsewhere))
          expect(from).toBe(to);
      }),
      { numRuns: runs(2000) },
    );
  });
});
