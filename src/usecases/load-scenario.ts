import { v7 as newId } from 'uuid';
import { Refused } from '../domain/refusal.ts';
import type { Store, Writing } from '../store/store.ts';
import { addCar } from './add-car.ts';
import { addOwner } from './add-owner.ts';
import { reconsiderCars } from './cancel-untrue.ts';
import { changeVisit } from './change-visit.ts';
import type { Caller, Deed } from './deed.ts';
import { fitTop } from './fit-top.ts';
import { drawPattern } from './frame-patterns.ts';
import { logPosition, withdrawEntry } from './log-position.ts';
import { makeKey } from './organisations.ts';
import { recordVisit } from './record-visit.ts';
import type { Happening, HouseStory } from './scenario-plan.ts';
import { planScenario } from './scenario-plan.ts';
import type { Seeds } from './scenario-seeds.ts';
import { readSeeds } from './scenario-seeds.ts';
import { addressHashOf } from './secret.ts';

export interface LoadedScenario {
  readonly organisations: number;
  readonly owners: number;
  readonly cars: number;
  readonly visits: number;
  readonly positionEntries: number;
}

/**
 * Loads the demo scenario: invented people and cars with some years of history up to now, recorded
 * by the same deeds that people use, each at the time it would have been recorded. All of it in one
 * transaction: a load that breaks off leaves nothing behind. Refused where it is loaded already.
 */
export async function loadScenario(
  deed: Deed,
  seeds: Seeds = readSeeds(),
): Promise<LoadedScenario> {
  const stories = planScenario(seeds, deed.now());
  await deed.store.write(async (tx) => {
    const inside = { ...deed, store: storeInside(deed.store, tx) };
    if (await isScenarioLoaded(inside, seeds)) {
      throw new Refused({
        kind: 'conflict',
        detail: 'The demo scenario is in these records already. It is not loaded twice.',
      });
    }
    for (const story of stories) await replay(inside, tx, story);
  });
  const all = stories.flatMap(({ happenings }) => happenings);
  const count = (what: Happening['what']) => all.filter((one) => one.what === what).length;
  return {
    organisations: stories.length,
    owners: count('owner'),
    cars: count('car'),
    visits: count('visit'),
    positionEntries: count('position'),
  };
}

/** Whether an organisation of the scenario is in the records. */
export async function isScenarioLoaded(deed: Deed, seeds: Seeds = readSeeds()): Promise<boolean> {
  const names = seeds.houses.map(({ organisation }) => organisation.name);
  return (await deed.store.records.organisation.count({ where: { name: { in: names } } })) > 0;
}

export interface ScenarioKey {
  readonly name: string;
  readonly kind: string;
  readonly key: string;
}

/** A fresh key to each organisation of the scenario; earlier ones stay good. */
export async function makeScenarioKeys(
  deed: Deed,
  seeds: Seeds = readSeeds(),
): Promise<ScenarioKey[]> {
  const keys: ScenarioKey[] = [];
  for (const { organisation } of seeds.houses) {
    const { name, kind } = organisation;
    keys.push({ name, kind, key: (await makeKey(deed, { name, kind }, 'full')).key });
  }
  return keys;
}

/** Some cars of the scenario that are worth a look, with the reason. */
export function scenarioNotes(
  seeds: Seeds = readSeeds(),
): { registration: string; note: string }[] {
  return seeds.houses
    .flatMap(({ owners }) => owners.flatMap(({ cars }) => cars))
    .filter(({ shown }) => shown === true)
    .map(({ registration, note = '' }) => ({ registration, note }));
}

/** A store whose every read and write happens in a transaction that is open already. */
function storeInside(store: Store, tx: Writing): Store {
  return {
    ...store,
    records: tx.records,
    sql: tx.sql,
    write: (work) => work(tx),
    writeSql: (work) => work(tx.sql),
  };
}

async function replay(deed: Deed, tx: Writing, story: HouseStory): Promise<void> {
  const { startedMonthsAgo: _, ...organisation } = story.organisation;
  const organisationId = newId();
  await tx.records.organisation.create({
    data: { id: organisationId, ...organisation, createdAt: story.startedAt },
  });
  const caller: Caller = { organisationId, keyId: 'demo', scope: 'full' };
  const scene: Scene = { caller, tx, owners: new Map(), cars: new Map(), tops: new Map() };
  for (const happening of story.happenings) {
    await happen({ ...deed, now: () => happening.at }, scene, happening);
  }
}

interface Scene {
  readonly caller: Caller;
  readonly tx: Writing;
  /** Owners by address, cars by registration, and the top that is on each car. */
  readonly owners: Map<string, string>;
  readonly cars: Map<string, string>;
  readonly tops: Map<string, string>;
}

async function happen(deed: Deed, scene: Scene, one: Happening): Promise<void> {
  const { caller, owners, cars, tops } = scene;
  switch (one.what) {
    case 'pattern':
      await drawPattern(deed, caller, one);
      return;
    case 'owner':
      owners.set(one.owner.email, (await addOwner(deed, caller, one.owner)).id);
      return;
    case 'car': {
      const ownerId = known(owners, one.owner);
      cars.set(one.car.registration, (await addCar(deed, caller, { ...one.car, ownerId })).id);
      return;
    }
    case 'top': {
      const carId = known(cars, one.car);
      tops.set(one.car, (await fitTop(deed, caller, { ...one.top, carId })).id);
      return;
    }
    case 'visit':
      await recordVisit(deed, caller, known(tops, one.car), one.visit);
      return;
    case 'no-show':
      return noteNoShow(deed, scene, known(tops, one.car));
    case 'position': {
      const logger = { organisationId: caller.organisationId, by: 'demo' };
      const carId = known(cars, one.car);
      const { id } = await logPosition(deed, logger, carId, one.entry);
      if (one.withdrawn) await withdrawEntry(deed, logger, carId, id);
      return;
    }
    case 'refusal':
      return refuse(deed, scene, one.owner, one.topics);
    case 'bounce':
      return die(deed, scene, one.owner, one.why);
  }
}

async function noteNoShow(deed: Deed, { caller, tx }: Scene, topId: string): Promise<void> {
  const visit = await tx.records.visit.findFirst({ where: { topId, state: 'booked' } });
  if (visit !== null) await changeVisit(deed, caller, visit.id, { state: 'missed' }, '*');
}

async function refuse(
  deed: Deed,
  { caller, tx, owners }: Scene,
  email: string,
  topics: readonly string[],
): Promise<void> {
  const { organisationId } = caller;
  const ownerId = known(owners, email);
  const addressHash = addressHashOf(email);
  await tx.records.addressStanding.create({
    data: { organisationId, addressHash, refusedTopics: JSON.stringify(topics) },
  });
  await tx.records.consentEntry.createMany({
    data: topics.map((topic) => ({
      id: newId(),
      organisationId,
      addressHash,
      ownerId,
      topic,
      given: false,
      at: deed.now(),
      by: 'owner',
      words: 'Refused by the link in a letter.',
    })),
  });
  await reconsiderOwner(deed, tx, ownerId);
}

async function die(deed: Deed, { caller, tx, owners }: Scene, email: string, why: string) {
  const ownerId = known(owners, email);
  await tx.records.addressStanding.create({
    data: {
      organisationId: caller.organisationId,
      addressHash: addressHashOf(email),
      deadSince: deed.now(),
      deadWhy: why,
    },
  });
  await reconsiderOwner(deed, tx, ownerId);
}

async function reconsiderOwner(deed: Deed, tx: Writing, ownerId: string): Promise<void> {
  const cars = await tx.records.car.findMany({ where: { ownerId }, select: { id: true } });
  await reconsiderCars(
    tx.sql,
    cars.map(({ id }) => id),
    deed.now(),
  );
}

function known(ids: ReadonlyMap<string, string>, name: string): string {
  const id = ids.get(name);
  if (id === undefined) throw new Error(`the scenario speaks of ${name} before it is there`);
  return id;
}
