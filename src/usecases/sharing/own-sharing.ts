import type { Instant } from '../../domain/calendar/instant.ts';
import type { OrganisationKind } from '../../domain/organisation-kind.ts';
import { invalid, notFound } from '../../domain/refusal.ts';
import type { ShareKind } from '../../domain/sharing/share-kind.ts';
import { SHARE_KINDS } from '../../domain/sharing/share-kind.ts';
import { findLink, storeLinks } from '../../store/letters/link-rows.ts';
import {
  endShare,
  endTies,
  insertShare,
  insertTies,
  joinableCar,
  sharesOf,
  tiesOf,
  useLink,
} from '../../store/sharing/share-rows.ts';
import type { OwnerDoor } from '../cars/owner-car.ts';
import { openPage, ownCarOf } from '../cars/owner-car.ts';
import { actingAs } from '../context/acting.ts';
import type { Context } from '../context/context.ts';
import { newLink } from '../context/links.ts';
import { newId } from '../context/new-id.ts';
import { hashOf } from '../context/secret.ts';

/** One who could see something of a car, with what is shown since when. */
export interface SeerRecord {
  readonly organisationId: string;
  readonly name: string;
  /** The organisation whose record this is; else another that has a record of the same car. */
  readonly own: boolean;
  readonly kinds: readonly { readonly kind: ShareKind; readonly since: Instant | null }[];
}

export interface SharingRecord {
  readonly language: string;
  readonly organisation: string;
  readonly kind: OrganisationKind;
  readonly cars: readonly {
    readonly id: string;
    readonly registration: string;
    readonly timeZone: string;
    readonly seers: readonly SeerRecord[];
  }[];
}

/** Who sees what of an owner's cars, and since when; null where the door opens nothing. */
export async function readSharing(
  context: Context,
  door: OwnerDoor,
): Promise<SharingRecord | null> {
  const opened = await openPage(context, door);
  if (opened === null) return null;
  const { owner, cars } = opened;
  const { sql } = context.store;
  const { organisationId } = owner;
  const byOwner = new Map<string, Awaited<ReturnType<typeof loadOf>>>();
  const loadOf = async (ownerId: string) => ({
    ties: await tiesOf(sql, organisationId, ownerId),
    shares: await sharesOf(sql, organisationId, ownerId),
  });
  for (const { ownerId } of cars) {
    if (!byOwner.has(ownerId)) byOwner.set(ownerId, await loadOf(ownerId));
  }
  return {
    language: owner.language,
    organisation: owner.organisationName,
    kind: owner.organisationKind,
    cars: cars.map(({ id, ownerId, registration, timeZone }) => {
      const { ties = [], shares = [] } = byOwner.get(ownerId) ?? {};
      const since = (to: string, kind: ShareKind) =>
        shares.find((one) => one.carId === id && one.toOrganisationId === to && one.kind === kind)
          ?.since ?? null;
      const kindsTo = (to: string, kinds: readonly ShareKind[]) =>
        kinds.map((kind) => ({ kind, since: since(to, kind) }));
      const home: SeerRecord[] =
        owner.organisationKind === 'club'
          ? [
              {
                organisationId,
                name: owner.organisationName,
                own: true,
                kinds: kindsTo(organisationId, ['positions']),
              },
            ]
          : [];
      const others = ties
        .filter((tie) => tie.carId === id)
        .map((tie) => ({
          organisationId: tie.otherOrganisationId,
          name: tie.otherName,
          own: false,
          kinds: kindsTo(tie.otherOrganisationId, SHARE_KINDS),
        }));
      return { id, registration, timeZone, seers: [...home, ...others] };
    }),
  };
}

/** What an owner says about one kind of record. */
export interface ShareWish {
  readonly carId: string;
  readonly to: string;
  readonly kind: ShareKind;
  readonly shown: boolean;
}

/** Shows an organisation one kind of record of a car from now on, or takes it back at once. */
export async function shareOwn(
  context: Context,
  door: OwnerDoor,
  { carId, to, kind, shown }: ShareWish,
): Promise<void> {
  const { car, caller } = await ownCarOf(context, door, carId);
  const record = await readSharing(context, door);
  const seer = record?.cars
    .find(({ id }) => id === carId)
    ?.seers.find(({ organisationId }) => organisationId === to);
  const now = seer?.kinds.find((one) => one.kind === kind);
  if (now === undefined) throw notFound('sharing');
  if ((now.since !== null) === shown) return;
  const { organisationId } = caller;
  const whose = { organisationId, carId, ownerId: car.ownerId, kind, toOrganisationId: to };
  const at = context.now();
  await actingAs(context, caller, () =>
    context.store.writeSql((sql) =>
      shown ? insertShare(sql, { id: newId(), ...whose, since: at }) : endShare(sql, whose, at),
    ),
  );
}

/** A code with which the record of a car can be joined with another; good once, for two days. */
export async function makeJoinCode(
  context: Context,
  door: OwnerDoor,
  carId: string,
): Promise<string> {
  const { car, caller } = await ownCarOf(context, door, carId);
  const { organisationId } = caller;
  const link = newLink(context.publicUrl, context.now(), {
    organisationId,
    ownerId: car.ownerId,
    carId,
    subject: null,
    purpose: 'join-cars',
    days: JOIN_DAYS,
  });
  await context.store.writeSql((sql) => storeLinks(sql, [link.row]));
  return link.url.slice(link.url.lastIndexOf('/') + 1);
}

// Long enough to open the other page, too short to lie about: a shop rule.
const JOIN_DAYS = 2;

/**
 * Joins the record of a car with that at another organisation, by the code that the owner brings from
 * the page there. Nothing is shared by it: what each sees is said kind by kind. Records are never
 * joined because an address is the same.
 */
export async function joinCars(
  context: Context,
  door: OwnerDoor,
  carId: string,
  code: string,
): Promise<void> {
  const { car, caller } = await ownCarOf(context, door, carId);
  const at = context.now();
  const { organisationId } = caller;
  await actingAs(context, caller, () =>
    context.store.writeSql(async (sql) => {
      const link = await findLink(sql, 'join-cars', hashOf(code.trim()), at);
      const other =
        link === null || link.carId === null || link.ownerId === null
          ? null
          : await joinableCar(sql, link.organisationId, link.carId);
      if (link === null || other === null || other.ownerId !== link.ownerId) {
        throw invalid('#/code', 'This code opens nothing: it was used, is too old, or has a slip.');
      }
      if (other.organisationId === organisationId) {
        throw invalid('#/code', 'This code is from the same page.');
      }
      if (!(await useLink(sql, link.id, at))) throw invalid('#/code', 'This code was used.');
      const here = { organisationId, carId, ownerId: car.ownerId };
      const there = {
        organisationId: other.organisationId,
        carId: other.id,
        ownerId: other.ownerId,
      };
      const tie = (a: typeof here, b: typeof here) => ({
        id: newId(),
        ...a,
        otherOrganisationId: b.organisationId,
        otherCarId: b.carId,
        otherOwnerId: b.ownerId,
        createdAt: at,
      });
      // Joined before, they are joined anew: there is one such pair at a time.
      await endTies(sql, tie(here, there), at);
      await insertTies(sql, [tie(here, there), tie(there, here)]);
    }),
  );
}

/** Parts two records of a car: neither side sees anything of the other any more. */
export async function partCars(
  context: Context,
  door: OwnerDoor,
  carId: string,
  otherOrganisationId: string,
): Promise<void> {
  const { car, caller } = await ownCarOf(context, door, carId);
  const { organisationId } = caller;
  const at = context.now();
  await actingAs(context, caller, () =>
    context.store.writeSql(async (sql) => {
      const ties = await tiesOf(sql, organisationId, car.ownerId);
      for (const tie of ties) {
        if (tie.carId !== carId || tie.otherOrganisationId !== otherOrganisationId) continue;
        const { otherCarId } = tie;
        await endTies(sql, { organisationId, carId, otherOrganisationId, otherCarId }, at);
      }
    }),
  );
}
