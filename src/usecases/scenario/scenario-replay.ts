import { lockCarsOfOwner } from '../../store/cars/owner-page-rows.ts';
import { insertOrganisation } from '../../store/organisations/organisation-rows.ts';
import { insertDeadAddress } from '../../store/owners/standing-rows.ts';
import { visitsAhead } from '../../store/visits/visit-rows.ts';
import type { Topic } from '../../domain/round/letter-kind.ts';
import type { Writing } from '../../store/database/store.ts';
import type { EstimateRecord } from '../estimates/estimate-records.ts';
import { addCar } from '../cars/add-car.ts';
import { addOwner } from '../owners/add-owner.ts';
import { reconsiderCars } from '../round/cancel-untrue.ts';
import { changeVisit } from '../visits/change-visit.ts';
import type { Caller, Context } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import { programCaller } from '../context/context.ts';
import { fitTop } from '../tops/fit-top.ts';
import { drawPattern } from '../tops/frame-patterns.ts';
import { logPosition, withdrawEntry } from '../cars/log-position.ts';
import { recordVisit } from '../visits/record-visit.ts';
import { refuseTopics } from '../owners/refuse-topic.ts';
import type { Happening, OrganisationStory } from './scenario-happening.ts';
import { replayAnswer, replayEstimate } from './scenario-estimates.ts';
import { replayClub } from './scenario-club.ts';
import { replayGoneDay, replayNobodyCame } from './scenario-gone-day.ts';
import { replayRound } from './scenario-rounds.ts';
import { replayPhoto } from './scenario-photo.ts';
import { replaySale } from './scenario-sale.ts';
import { replayOrder, replayShelf } from './scenario-stock.ts';
import { addressHashOf } from '../context/secret.ts';

/**
 * Records the story of one organisation, each thing with the clock at its time. The deed's store
 * must be the transaction `tx`.
 */
export async function replayStory(
  context: Context,
  tx: Writing,
  story: OrganisationStory,
): Promise<void> {
  const { startedMonthsAgo: _, ...organisation } = story.organisation;
  const organisationId = newId();
  await insertOrganisation(tx.sql, {
    id: organisationId,
    ...organisation,
    createdAt: story.startedAt,
  });
  const caller: Caller = programCaller(organisationId, 'demo');
  const scene: Scene = {
    caller,
    tx,
    owners: new Map(),
    cars: new Map(),
    tops: new Map(),
    estimates: new Map(),
  };
  for (const happening of story.happenings) {
    await happen({ ...context, now: () => happening.at }, scene, happening);
  }
}

interface Scene {
  readonly caller: Caller;
  readonly tx: Writing;
  /** Owners by address, cars by registration, and the top that is on each car. */
  readonly owners: Map<string, string>;
  readonly cars: Map<string, string>;
  readonly tops: Map<string, string>;
  /** The estimate that was made for each car. */
  readonly estimates: Map<string, EstimateRecord>;
}

async function happen(context: Context, scene: Scene, one: Happening): Promise<void> {
  const { caller, owners, cars, tops } = scene;
  switch (one.what) {
    case 'pattern':
      await drawPattern(context, caller, one);
      return;
    case 'owner':
      owners.set(one.owner.email, (await addOwner(context, caller, one.owner)).id);
      return;
    case 'car': {
      const ownerId = known(owners, one.owner);
      cars.set(one.car.registration, (await addCar(context, caller, { ...one.car, ownerId })).id);
      return;
    }
    case 'top': {
      const carId = known(cars, one.car);
      tops.set(one.car, (await fitTop(context, caller, { ...one.top, carId })).id);
      return;
    }
    case 'visit':
      await recordVisit(context, caller, known(tops, one.car), one.visit, { tell: one.tell });
      return;
    case 'no-show':
      return noteNoShow(context, scene, known(tops, one.car));
    case 'position': {
      const recorder = { organisationId: caller.organisationId, by: 'demo' };
      const carId = known(cars, one.car);
      const { id } = await logPosition(context, recorder, carId, one.entry);
      if (one.withdrawn) await withdrawEntry(context, recorder, carId, id);
      return;
    }
    case 'refusal':
      return refuse(context, scene, one.owner, one.topics);
    case 'bounce':
      return noteDeadAddress(context, scene, one.owner, one.why);
    case 'club':
      return replayClub(context, caller, scene, one.club);
    case 'gone-day':
      return replayGoneDay(context, caller, scene, one);
    case 'gone-day-over':
      return replayNobodyCame(context, caller, scene, one);
    case 'round':
      return replayRound(context, caller, scene.tx);
    case 'shelf':
      return replayShelf(context, caller, one.desk);
    case 'order':
      return replayOrder(context, caller, one.order);
    case 'photo':
      return replayPhoto(context, caller, known(cars, one.car), one);
    case 'sale':
      return replaySale(context, caller, known(cars, one.car), one.buyer);
    case 'estimate': {
      const carId = known(cars, one.car);
      scene.estimates.set(one.car, await replayEstimate(context, caller, carId));
      return;
    }
    case 'answer':
      return replayAnswer(context, caller, known(scene.estimates, one.car), one.answer);
  }
}

async function noteNoShow(context: Context, { caller, tx }: Scene, topId: string): Promise<void> {
  const [visit] = await visitsAhead(tx.records, topId);
  if (visit !== undefined) await changeVisit(context, caller, visit.id, { state: 'missed' }, '*');
}

async function refuse(
  context: Context,
  { caller, owners }: Scene,
  email: string,
  topics: readonly Topic[],
): Promise<void> {
  await refuseTopics(context, {
    organisationId: caller.organisationId,
    addressHash: addressHashOf(email),
    ownerId: known(owners, email),
    topics,
    given: false,
    by: 'stop-link:demo',
    words: 'Stop these letters',
  });
}

async function noteDeadAddress(
  context: Context,
  { caller, tx, owners }: Scene,
  email: string,
  why: string,
): Promise<void> {
  const address = { organisationId: caller.organisationId, addressHash: addressHashOf(email) };
  await insertDeadAddress(tx.sql, address, { deadSince: context.now(), deadWhy: why });
  const carIds = await lockCarsOfOwner(tx.sql, known(owners, email));
  await reconsiderCars(tx.sql, carIds, context.now());
}

function known<Known>(ids: ReadonlyMap<string, Known>, name: string): Known {
  const id = ids.get(name);
  if (id === undefined) throw new Error(`the scenario speaks of ${name} before it is there`);
  return id;
}
