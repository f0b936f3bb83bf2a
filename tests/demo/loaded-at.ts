import { mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { daysBetween } from '../../src/domain/calendar/day.ts';
import { dayIn } from '../../src/domain/calendar/zone.ts';
import { framePatternNamed } from '../../src/domain/pivots/frame-patterns.ts';
import { topicOf } from '../../src/domain/round/letter-kind.ts';
import { traySender } from '../../src/mail/tray.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import { readParts } from '../../src/usecases/stock/read-parts.ts';
import { readDayResult } from '../../src/usecases/care-days/day-result.ts';
import type { Context } from '../../src/usecases/context/context.ts';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import { loadScenario } from '../../src/usecases/scenario/load-scenario.ts';
import type { RoundResult } from '../../src/usecases/round/plan-round.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { tallyLetters } from '../../src/usecases/scenario/scenario-letters.ts';
import { readSeeds } from '../../src/usecases/scenario/scenario-seeds.ts';
import { contextAt } from '../records/lived-in.ts';
import { loadedScenario } from '../setup/loaded-scenario.ts';
import { expectedLetters } from './expected.ts';

export const SEEDS = readSeeds();
const OWNERS = SEEDS.organisations.flatMap(({ owners }) => owners);
const CLUB = clubOf();
export const LOADING = 300_000;
export const DAY = '2026-07-15T12:00:00.000Z';

function clubOf() {
  const { club } =
    SEEDS.organisations.find(({ organisation }) => organisation.kind === 'club') ?? {};
  if (club === undefined) throw new Error('the club has no story');
  return club;
}

/** What the round wrote, as `kind registration`, and what is due when: all that a reader would see. */
export async function seenIn(context: Context, { letters }: RoundResult) {
  const { records } = context.store;
  const cars = await records.car.findMany();
  const registrations = new Map(cars.map(({ id, registration }) => [id, registration]));
  const tops = await records.top.findMany();
  const readings = await records.reading.findMany();
  const plays = readings.map(({ doneOn, axialPlayMm }) => `${doneOn} ${axialPlayMm ?? ''}`);
  return {
    letters: letters
      .flatMap(({ kind, carIds }) => carIds.map((id) => `${kind} ${registrations.get(id)}`))
      .sort(),
    tops: tops
      .map(({ carId, fittedOn, dueOn }) => `${registrations.get(carId)} ${fittedOn} ${dueOn}`)
      .sort(),
    plays: plays.sort(),
  };
}

/** What the scenario is when it is loaded at an instant: what is seen, and by night what leaves. */
export function tryScenarioAt(now: string, night = false): void {
  describe(`the scenario loaded at ${now}`, () => holdAt(now, night));
}

function holdAt(now: string, night: boolean): void {
  let folder: string;
  let context: Context;
  let round: RoundResult;
  let lettersBefore: string[];
  let again: RoundResult;

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'foldkeep-demo-'));
    mkdirSync(join(folder, 'loaded'));
    context = await contextAt(await loadedScenario(join(folder, 'loaded'), now), now);
    // Whoever answered before the letter left gets none that asks; those of days gone by have left.
    const standing = { state: { not: 'cancelled' } };
    const before = await context.store.records.letter.findMany({ where: standing });
    lettersBefore = before.filter(({ state }) => state === 'planned').map(({ kind }) => kind);
    round = await planRound(context);
    again = await planRound(context);
  }, LOADING);
  afterAll(async () => {
    await context.store.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('tells of the visits that are booked now, and of the club’s day and letter; all else comes out of the round, once', () => {
    const booked = OWNERS.flatMap(({ cars }) => cars).filter((car) => car.booked !== undefined);
    expect(lettersBefore).toEqual([
      ...booked.map(() => 'visit-booked'),
      ...CLUB.careDay.asked.filter(({ from }) => from === undefined).map(() => 'care-day-asked'),
      ...CLUB.careDay.asked.filter(({ from }) => from !== undefined).map(() => 'visit-booked'),
      ...CLUB.letters
        .filter(({ sent }) => sent)
        .flatMap(() => CLUB.agreed.map(() => 'club-letter')),
    ]);
    expect(round.cancelled).toBe(0);
    expect(again).toMatchObject({ planned: 0, cancelled: 0 });
  });

  it('owes exactly the letters about oil and folding that the seeds ask for', async () => {
    const { letters } = await seenIn(context, round);
    const expected = expectedLetters(SEEDS);
    expect(letters.filter((one) => /^(lubrication|folded)-/.test(one))).toEqual(expected);
    const kinds = new Set(expected.map((one) => one.split(' ')[0]));
    expect(kinds).toEqual(
      new Set([
        'lubrication-ahead',
        'lubrication-due',
        'lubrication-late',
        'folded-nearing',
        'folded-over',
        'folded-still',
      ]),
    );
  });

  it('has each top due when the seeds say', async () => {
    const today = dayIn('Europe/London', now);
    const { records } = context.store;
    const cars = await records.car.findMany({ include: { tops: { where: { retiredOn: null } } } });
    const inDays = new Map(
      cars.map((car) => [car.registration, daysBetween(today, car.tops[0]?.dueOn ?? today)]),
    );
    const astray = OWNERS.flatMap((owner) => owner.cars).filter(({ registration, due }) => {
      // Where no seed says, no letter may come of it. At the end of a month a day can be lost.
      const [least, most] = due ?? [30, 366];
      const days = inDays.get(registration) ?? NaN;
      return !(days >= least - 1 && days <= most);
    });
    expect(astray.map(({ registration }) => registration)).toEqual([]);
  });

  it('says that the warranties near their end end', async () => {
    const { letters } = await seenIn(context, round);
    expect(letters).toEqual(
      expect.arrayContaining(['warranty-ending DEMO 126', 'warranty-ending DEMO 127']),
    );
  });

  it('writes under example domains alone, and nothing that was refused', () => {
    expect(round.letters.length).toBeGreaterThan(20);
    for (const { to, kind } of round.letters) {
      // Example domains: RFC 2606 section 3.
      expect(to.address).toMatch(/@example\.(org|com|net)$/);
      const owner = OWNERS.find(({ email }) => email === to.address);
      expect(owner?.refuses ?? []).not.toContain(topicOf(kind));
      expect(owner?.bounced).toBeUndefined();
    }
  });

  it('writes one letter for the two cars of one owner, and German to those who speak it', () => {
    const both = round.letters.filter(({ carIds }) => carIds.length === 2);
    expect(both.map(({ kind }) => kind)).toContain('lubrication-ahead');
    const german = round.letters.filter(({ to }) => to.address.startsWith('gudrun.falzmeier'));
    expect(german.map(({ language, kind }) => [language, kind])).toEqual([['de', 'folded-over']]);
  });

  it('carries the history of re-covered cars over', async () => {
    const { records } = context.store;
    for (const registration of ['DEMO 128', 'DEMO 129']) {
      const car = await records.car.findFirstOrThrow({ where: { registration } });
      const tops = await records.top.findMany({
        where: { carId: car.id },
        orderBy: { fittedOn: 'asc' },
      });
      expect(tops).toHaveLength(2);
      expect(tops[0]?.retiredOn).toBe(tops[1]?.fittedOn);
      const pivots = await records.pivot.findMany({ where: { carId: car.id, retiredOn: null } });
      expect(pivots).toHaveLength(
        framePatternNamed(tops[1]?.framePattern ?? '')?.pivots.length ?? 0,
      );
      for (const pivot of pivots) expect(pivot.since).toBe(tops[0]?.fittedOn);
    }
  });

  it('is recorded in the past, each thing at its time', async () => {
    const { records } = context.store;
    const entries = await records.positionEntry.findMany();
    expect(entries.length).toBeGreaterThan(300);
    for (const { at, recordedAt } of entries)
      expect(at <= recordedAt && recordedAt <= now).toBe(true);
    expect(entries.some(({ withdrawnAt }) => withdrawnAt !== null)).toBe(true);
    const visits = await records.visit.findMany({ where: { state: 'done' } });
    for (const visit of visits) expect(visit.createdAt.slice(0, 10)).toBe(visit.doneOn);
  });

  it('tells of money, stock, a photo and a sale at the desk of the shop', async () => {
    const { records } = context.store;
    const car = (registration: string) =>
      records.car.findFirstOrThrow({ where: { registration }, include: { owner: true } });
    const estimates = await records.estimate.findMany({ orderBy: { number: 'asc' } });
    const outcomes = await Promise.all(
      estimates.map(async ({ carId, topId, state }) => {
        const { registration } = await records.car.findUniqueOrThrow({ where: { id: carId } });
        const fault = {
          in: ['cable-pocket-open', 'tension-cable-broken', 'tailgate-seal-missing'],
        };
        const found = await records.finding.findMany({ where: { topId, fault } });
        return [registration, state, [...new Set(found.map(({ outcome }) => outcome))]];
      }),
    );
    outcomes.sort((a, b) => (String(a[0]) < String(b[0]) ? -1 : 1));
    expect(outcomes).toEqual([
      ['DEMO 136', 'sent', ['advised']],
      ['DEMO 137', 'answered', ['accepted']],
      ['DEMO 138', 'answered', ['declined']],
    ]);
    // Of the one that waits the round tells, in the owner's language; of the others nobody hears again.
    const { letters } = await seenIn(context, round);
    expect(letters.filter((one) => one.startsWith('estimate'))).toEqual(['estimate DEMO 136']);
    const told = round.letters.find(({ kind }) => kind === 'estimate');
    expect([told?.language, told?.text.includes('Offene Seiltasche')]).toEqual(['de', true]);
    const organisationId = (await car('DEMO 137')).organisationId;
    const washers = await records.stock.findFirstOrThrow({ where: { part: 'washer-pair' } });
    const cables = await records.stock.findFirstOrThrow({ where: { part: 'cable-pair' } });
    expect([washers.inHand, cables.inHand, cables.onOrder]).toEqual([1, 0, 2]);
    const need = await readParts(context, programCaller(organisationId, 'test'), {});
    expect(need.items.find(({ part }) => part === 'washer-pair')?.order).toBeGreaterThan(0);
    expect(await records.photo.count()).toBe(1);
    const sold = await car('DEMO 143');
    expect([sold.owner.name, sold.organisationId]).toEqual([
      'Wilhelmina Brassfold',
      organisationId,
    ]);
  });

  it('shows a care day gone by: who came, what was found, who was not there', async () => {
    const { records } = context.store;
    const club = await records.organisation.findFirstOrThrow({ where: { kind: 'club' } });
    const caller = programCaller(club.id, 'test');
    const gone = await records.careDay.findFirstOrThrow({ orderBy: { heldOn: 'asc' } });
    expect(gone.heldOn < now.slice(0, 10)).toBe(true);
    const { done, missed, open } = await readDayResult(context, caller, gone.id);
    const plates = (places: readonly { registration: string }[]) =>
      places.map(({ registration }) => registration).sort();
    const { asked } = CLUB.goneDay;
    expect(plates(done.map(({ place }) => place))).toEqual(
      asked.flatMap(({ car, came }) => (came ? [car] : [])).sort(),
    );
    expect(plates(missed)).toEqual(['DEMO 219']);
    expect(plates(open)).toEqual([]);
    for (const { oiled } of done) expect(oiled).toBeGreaterThan(0);
    expect(done.some(({ findings }) => findings.length > 0)).toBe(true);
    // Its letters left then; none of them waits.
    const told = await records.letter.findMany({
      where: { organisationId: club.id, state: 'delivered' },
    });
    const toldThen = told.map(({ kind, settledAt }) => [kind, (settledAt ?? '') < now]);
    expect(toldThen.filter(([kind]) => kind === 'care-day-asked')).toHaveLength(asked.length);
    expect(toldThen.every(([, before]) => before)).toBe(true);
  });

  it('tells a private owner’s year: folding and oiling, one near miss, the letters of it', async () => {
    const { records } = context.store;
    const own = await records.organisation.findFirstOrThrow({ where: { kind: 'private' } });
    const { id: organisationId } = own;
    const order = { orderBy: { at: 'asc' } } as const;
    const entries = await records.positionEntry.findMany({ where: { organisationId }, ...order });
    expect(entries.filter(({ withdrawnAt }) => withdrawnAt === null).length).toBeGreaterThan(8);
    const letters = await records.letter.findMany({
      where: { organisationId, state: 'delivered' },
    });
    const nearing = letters.filter(({ kind }) => kind === 'folded-nearing').at(-1);
    expect(nearing).toBeDefined();
    // It came before the limit, and she raised the top the same evening: nothing worse was written.
    const raised = entries.find(
      ({ at, position, withdrawnAt }) =>
        position === 'raised' && withdrawnAt === null && at > (nearing?.settledAt ?? ''),
    );
    const hours = (Date.parse(raised?.at ?? '') - Date.parse(nearing?.settledAt ?? '')) / 3_600_000;
    expect(hours).toBeGreaterThan(0);
    expect(hours).toBeLessThan(24);
    const kinds = new Set(letters.map(({ kind }) => kind));
    expect(kinds).toContain('care-note');
    // One a day, as the law of letters has it; alarms alone may come besides.
    const days = letters
      .filter(({ kind }) => !kind.startsWith('folded-'))
      .map(({ settledAt }) => settledAt?.slice(0, 10));
    expect(new Set(days).size).toBe(days.length);
  });

  it('is refused a second time and leaves the first as it is', async () => {
    const before = await context.store.records.car.count();
    await expect(loadScenario(context)).rejects.toThrow('already');
    expect(await context.store.records.car.count()).toBe(before);
  });

  it('lets all letters leave by day, and at night the alarms of the shop, which allows them', async () => {
    const { records } = context.store;
    const tray = join(folder, `tray-${now.slice(0, 10)}`);
    const sender = traySender(tray);
    const mailFrom = { name: 'Foldkeep', address: 'foldkeep@example.org' };
    const left = await records.letter.findMany({ where: { state: 'delivered' } });
    const leftBefore = new Set(left.map(({ id }) => id));
    await deliverLetters(context, sender, { mailFrom });
    await sender.close();
    const shop = await records.organisation.findFirstOrThrow({ where: { kind: 'shop' } });
    const mayLeave = (await records.letter.findMany()).filter(
      ({ id, kind, state, organisationId }) =>
        state !== 'cancelled' &&
        !leftBefore.has(id) &&
        (!night || (kind.startsWith('folded-') && organisationId === shop.id)),
    );
    expect(mayLeave.length).toBeGreaterThan(0);
    for (const { state } of mayLeave) expect(state).toBe('delivered');
    const messages = readdirSync(tray).filter((name) => name.endsWith('.eml'));
    expect(messages).toHaveLength(mayLeave.length);
    expect(await tallyLetters(context)).toMatchObject({
      // What left in the story lies in no tray, and is not counted among what is to be read there.
      written: lettersBefore.length + round.planned,
      waiting: lettersBefore.length + round.planned - mayLeave.length,
      // 08:00 in Berlin, where the clocks of this scenario reach that hour first.
      nextAt: night ? '2027-01-01T07:00:00.000Z' : null,
    });
  });
}
