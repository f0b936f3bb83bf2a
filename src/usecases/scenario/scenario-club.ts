import { z } from 'zod';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays, weekdayOf } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { WISH_PARTS } from '../../domain/care-day/wishes.ts';
import { storeLinks } from '../../store/letters/link-rows.ts';
import { insertShare } from '../../store/sharing/share-rows.ts';
import type { Writing } from '../../store/database/store.ts';
import { askToCareDay, readCareDayDesk } from '../care-days/care-day-list.ts';
import { pressChoosePage, readChoosePage } from '../care-days/choose-time.ts';
import { newCareDayFigures, planCareDay } from '../care-days/keep-care-days.ts';
import { draftClubLetter } from '../club/club-letters.ts';
import { sendClubLetter } from '../club/send-club-letter.ts';
import type { Caller, Context } from '../context/context.ts';
import { careDayLink, newLink } from '../context/links.ts';
import { newId } from '../context/new-id.ts';
import { addressHashOf } from '../context/secret.ts';
import { agreeTo } from '../owners/refuse-topic.ts';
import { line, prose, timeOfDay } from '../records/record-fields.ts';

const span = z.strictObject({ from: timeOfDay, until: timeOfDay });
const careDayShape = {
  place: line(200),
  ...span.shape,
  breaks: z.array(span),
  benches: z.int(),
  helpers: z.array(span.partial().extend({ name: line(80) })),
};

/** What happens at the desk of a club, beside its cars: who shows what, a care day, letters to all. */
export const clubSeed = z.strictObject({
  /** Addresses at which somebody agreed to letters of the club. */
  agreed: z.array(z.string()),
  /** Cars whose owners show the club where the top stands. */
  shown: z.array(z.string()),
  letters: z.array(z.strictObject({ subject: line(120), text: prose(4000), sent: z.boolean() })),
  careDay: z.strictObject({
    /** On the first Saturday in so many days. */
    inDays: z.int().min(8),
    ...careDayShape,
    asked: z.array(
      z.strictObject({
        car: z.string(),
        /** From when on its owner chose the first time that was free. */
        from: timeOfDay.optional(),
        order: z.partialRecord(z.enum(WISH_PARTS), z.int()).optional(),
      }),
    ),
  }),
  goneDay: z.strictObject({
    /** On the last Saturday so many days ago. */
    daysAgo: z.int().min(60),
    ...careDayShape,
    asked: z.array(
      z.strictObject({
        car: z.string(),
        from: timeOfDay.optional(),
        /** Whether it was there at its time; what was found then is in the history of the car. */
        came: z.boolean(),
      }),
    ),
  }),
});
export type ClubSeed = z.infer<typeof clubSeed>;

type Choice = ClubSeed['careDay']['asked'][number];

/** A day at the desk of a club; all of it is of now, so its letters are those of today. */
export interface ClubHappening {
  readonly at: Instant;
  readonly what: 'club';
  readonly club: ClubSeed;
}

export const SATURDAY = 6;

/** Who is who in the story: owners by address, cars by registration. */
export interface Cast {
  readonly tx: Writing;
  readonly owners: ReadonlyMap<string, string>;
  readonly cars: ReadonlyMap<string, string>;
}

/** Lets members agree and show, plans the care day and lets them choose by their links, writes the letters. */
export async function replayClub(
  context: Context,
  caller: Caller,
  { tx, owners, cars }: Cast,
  { agreed, shown, careDay, letters }: ClubSeed,
): Promise<void> {
  const { organisationId } = caller;
  for (const email of agreed) {
    await agreeTo(context, {
      organisationId,
      addressHash: addressHashOf(email),
      ownerId: idOf(owners, email),
      topic: 'club-news',
      by: 'stop-link:demo',
      words: 'Yes, write to me about the club',
    });
  }
  for (const registration of shown) {
    const carId = idOf(cars, registration);
    const { ownerId } = await tx.records.car.findUniqueOrThrow({ where: { id: carId } });
    await insertShare(tx.sql, {
      id: newId(),
      organisationId,
      carId,
      ownerId,
      kind: 'positions',
      toOrganisationId: organisationId,
      since: context.now(),
    });
  }
  const { timeZone } = await tx.records.organisation.findUniqueOrThrow({
    where: { id: organisationId },
  });
  const { inDays, asked, ...day } = careDay;
  let heldOn = addDays(dayIn(timeZone, context.now()), inDays);
  while (weekdayOf(heldOn) !== SATURDAY) heldOn = addDays(heldOn, 1);
  const dayId = await replayAsking(context, caller, { tx, cars }, { ...day, heldOn }, asked);
  await replayChoices(context, caller, { tx, cars }, { id: dayId, heldOn, timeZone }, asked);
  for (const { sent, ...said } of letters) {
    const id = await draftClubLetter(context, caller, said);
    if (sent) await sendClubLetter(context, caller, id, 1);
  }
}

/** Plans a care day and asks the owners of these cars; gives its id. */
export async function replayAsking(
  context: Context,
  caller: Caller,
  { cars }: Omit<Cast, 'owners'>,
  day: Pick<ClubSeed['careDay'], keyof typeof careDayShape> & { readonly heldOn: Day },
  asked: readonly { readonly car: string }[],
): Promise<string> {
  const figures = await newCareDayFigures(context, caller);
  const id = await planCareDay(context, caller, { ...figures, ...day });
  const ids = asked.map(({ car }) => idOf(cars, car));
  await askToCareDay(context, caller, id, ids);
  return id;
}

/** Lets the owners choose their times, and what they order, by the links of their letters. */
export async function replayChoices(
  context: Context,
  caller: Caller,
  { tx, cars }: Omit<Cast, 'owners'>,
  {
    id,
    heldOn,
    timeZone,
  }: { readonly id: string; readonly heldOn: Day; readonly timeZone: string },
  asked: readonly Choice[],
): Promise<void> {
  const today = dayIn(timeZone, context.now());
  const { places } = await readCareDayDesk(context, caller, id);
  for (const { car, from, order } of asked) {
    const place = places.find(({ carId }) => carId === idOf(cars, car));
    if (place === undefined) throw new Error(`${car} cannot be asked to the care day`);
    const whose = { organisationId: caller.organisationId, carId: place.carId };
    const link = newLink(context.publicUrl, context.now(), {
      ...whose,
      ownerId: place.ownerId,
      ...careDayLink(place.id, heldOn, today),
    });
    await storeLinks(tx.sql, [link.row]);
    const token = link.url.slice(link.url.lastIndexOf('/') + 1);
    const press = async (wish: object) => {
      const was = (await readChoosePage(context, token))?.was ?? '';
      const pressed = await pressChoosePage(context, token, { was, ...wish });
      if (pressed === null || ['gone', 'nothing'].includes(pressed.came)) {
        throw new Error(`${car}: what its owner pressed came to ${pressed?.came ?? 'nothing'}`);
      }
    };
    if (from !== undefined) {
      const free = (await readChoosePage(context, token))?.free ?? [];
      await press({ time: free.find((time) => time >= from) });
    }
    if (order !== undefined) await press({ order });
  }
}

export function idOf(ids: ReadonlyMap<string, string>, name: string): string {
  const id = ids.get(name);
  if (id === undefined) throw new Error(`the club speaks of ${name}, who is not there`);
  return id;
}
