import { hasManager } from '../../store/people/person-rows.ts';
import { isAnyNamed } from '../../store/organisations/organisation-rows.ts';
import { Refused } from '../../domain/refusal.ts';
import type { Store, Writing } from '../../store/database/store.ts';
import type { Context } from '../context/context.ts';
import { programCaller } from '../context/context.ts';
import { makeKey, organisationIdOf } from '../organisations/organisations.ts';
import { invite } from '../people/invite.ts';
import type { Happening } from './scenario-happening.ts';
import { planScenario } from './scenario-plan.ts';
import { withoutTrail } from '../../store/database/pen.ts';
import { replayStory } from './scenario-replay.ts';
import type { Seeds } from './scenario-seeds.ts';
import { readSeeds } from './scenario-seeds.ts';

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
  context: Context,
  seeds: Seeds = readSeeds(),
): Promise<LoadedScenario> {
  const stories = planScenario(seeds, context.now());
  const load = async (tx: Writing): Promise<void> => {
    const inside = { ...context, store: storeInside(context.store, tx) };
    if (await isScenarioLoaded(inside, seeds)) {
      throw new Refused({
        kind: 'conflict',
        detail: 'The demo scenario is in these records already. It is not loaded twice.',
      });
    }
    for (const story of stories) await replayStory(inside, tx, story);
  };
  // Nobody made these records: the trail begins with whoever tries them out.
  await withoutTrail(() => context.store.write(load));
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
export async function isScenarioLoaded(
  context: Context,
  seeds: Seeds = readSeeds(),
): Promise<boolean> {
  const names = seeds.organisations.map(({ organisation }) => organisation.name);
  return isAnyNamed(context.store.records, names);
}

export interface ScenarioKey {
  readonly name: string;
  readonly kind: string;
  readonly key: string;
}

/** A fresh key to each organisation of the scenario; earlier ones stay good. */
export async function makeScenarioKeys(
  context: Context,
  seeds: Seeds = readSeeds(),
): Promise<ScenarioKey[]> {
  const keys: ScenarioKey[] = [];
  for (const { organisation } of seeds.organisations) {
    const { name, kind } = organisation;
    keys.push({ name, kind, key: (await makeKey(context, { name, kind }, 'full')).key });
  }
  return keys;
}

/** A link by which whoever tries the demo comes in as a manager of its shop; null once somebody did. */
export async function inviteToScenario(
  context: Context,
  seeds: Seeds = readSeeds(),
): Promise<string | null> {
  const seed = seeds.organisations.find(({ organisation }) => organisation.kind === 'shop');
  if (seed === undefined) return null;
  const id = await organisationIdOf(context, seed.organisation.name);
  if (await hasManager(context.store.sql, id)) return null;
  const wish = { name: 'Whoever tries this', email: 'you@example.org', role: 'manager' } as const;
  const { url } = await invite(context, programCaller(id, 'demo'), wish, null);
  return url;
}

/** Some cars of the scenario that are worth a look, with the reason. */
export function scenarioNotes(
  seeds: Seeds = readSeeds(),
): { registration: string; note: string }[] {
  return seeds.organisations
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
    together: (work) => work(),
  };
}
