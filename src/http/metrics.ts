import { msOf } from '../domain/calendar/instant.ts';
import type { Context } from '../usecases/context/context.ts';
import { countLetters } from '../usecases/organisations/readiness.ts';

/** Loaded with the first question of a monitor: most starts get none, and it takes its time. */
async function makeGauges() {
  const { collectDefaultMetrics, Gauge, Registry } = await import('prom-client');
  const registry = new Registry();
  collectDefaultMetrics({ register: registry });
  const letters = new Gauge({
    name: 'foldkeep_letters',
    help: 'Letters by state.',
    labelNames: ['state'],
    registers: [registry],
  });
  const waiting = new Gauge({
    name: 'foldkeep_oldest_due_letter_seconds',
    help: 'How long the oldest letter that may leave has waited.',
    registers: [registry],
  });
  const aside = new Gauge({
    name: 'foldkeep_owners_set_aside',
    help: 'Owners for whom the last round could decide or write nothing.',
    registers: [registry],
  });
  return { registry, letters, waiting, aside };
}

/** What `/metrics` shows, for whoever sends it elsewhere too. */
export interface Gauges {
  readonly states: readonly { readonly state: string; readonly n: number }[];
  readonly oldestDueSeconds: number;
  readonly setAside: number;
}

/** Reads the counts; nothing of an organisation, an owner or a car. */
export async function readGauges(context: Context): Promise<Gauges> {
  const { states, oldestDue, setAside } = await countLetters(context);
  const waited = oldestDue === null ? 0 : (msOf(context.now()) - msOf(oldestDue)) / 1000;
  return { states, oldestDueSeconds: Math.max(0, waited), setAside };
}

let gauges: ReturnType<typeof makeGauges> | null = null;

/** Counts for a monitor; nothing of an organisation, an owner or a car. */
export async function readMetrics(
  context: Context,
): Promise<{ contentType: string; text: string }> {
  const { registry, letters, waiting, aside } = await (gauges ??= makeGauges());
  const { states, oldestDueSeconds, setAside } = await readGauges(context);
  letters.reset();
  for (const { state, n } of states) letters.set({ state }, n);
  aside.set(setAside);
  waiting.set(oldestDueSeconds);
  return { contentType: registry.contentType, text: await registry.metrics() };
}
