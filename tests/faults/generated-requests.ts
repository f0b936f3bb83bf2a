import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { startPostgresql } from '../../prisma/embedded-postgresql.mjs';
import { addDays } from '../../src/domain/calendar/day.ts';
import { makeKey } from '../../src/usecases/organisations/organisations.ts';
import { loadScenario } from '../../src/usecases/scenario/load-scenario.ts';
import { OPENAPI_FILE } from '../openapi/describe-api.ts';
import type { Json } from '../openapi/generated-bodies.ts';
import { bodiesBy, ODD, spoilt } from '../openapi/generated-bodies.ts';
import { numbersFrom } from '../setup/numbers-from.ts';
import type { Workshop } from '../setup/workshop.ts';
import { openWorkshop } from '../setup/workshop.ts';

export interface RequestsReport {
  readonly name: string;
  /** What all requests were drawn from. */
  readonly seed: number;
  readonly requests: number;
  /** Answers by the first digit of their status. */
  readonly answers: Readonly<Record<string, number>>;
  /** Operations of the description, and those that were done at least once. */
  readonly operations: number;
  readonly done: number;
  /** Answers of 500 and above. The goal is 0: no part is down. */
  readonly faults: number;
  /** Answers with a status that the description of their operation does not name. The goal is 0. */
  readonly undescribed: number;
  /** Requests that were never answered. The goal is 0. */
  readonly stuck: number;
  readonly examples: readonly string[];
  readonly slowestMs: number;
  readonly slowest: string;
  readonly seconds: number;
}

/** What has to be nothing. */
export const REQUESTS_GOALS = ['faults', 'undescribed', 'stuck'] as const;

interface Schema {
  readonly [keyword: string]: Json;
}
interface Operation {
  readonly parameters?: readonly { in: string; name: string; required: boolean; schema: Schema }[];
  readonly requestBody?: { readonly content: Record<string, { readonly schema: Schema }> };
  readonly responses: Readonly<Record<string, unknown>>;
}
interface Described {
  readonly method: string;
  readonly path: string;
  readonly operation: Operation;
}

const START = '2026-06-12T09:00:00.000Z';
const PATIENCE_MS = 60_000;
// So many requests after which the clock is set anew, up to three months ahead or behind.
const CLOCK_EVERY = 400;

/** What is asked for, and how many ask at once. */
interface Asked {
  readonly name: string;
  readonly atOnce: number;
  readonly operations: (all: readonly Described[]) => readonly Described[];
}

const EVERYTHING: Asked = { name: 'generated-requests', atOnce: 4, operations: (all) => all };
// A car itself is changed and removed most, by as many as can wait for each other in many ways.
const CROWD: Asked = {
  name: 'crowded-requests',
  atOnce: 8,
  operations: (all) =>
    all
      .filter(({ method, path }) => method !== 'get' && /cars|owners|tops|visits|round/.test(path))
      .flatMap((one) =>
        Array<Described>(/^\/v1\/cars(\/\{id\})?$/.test(one.path) ? 6 : 1).fill(one),
      ),
};

/** Deeds about the same few cars by many at once: none may wait for another in a circle, or for ever. */
export function crowdedRequests(
  dialect: 'sqlite' | 'postgresql',
  requests: number,
  request: { seed: number; maxSeconds?: number },
): Promise<RequestsReport> {
  return ask(CROWD, dialect, requests, request);
}

/**
 * Asks the demo's shop for everything that the description names: bodies and queries that it allows, with
 * the ids of records that are there, and such as it forbids, with one thing wrong; several at once, by keys
 * of every kind, at changing times of the year. None may be answered by 500 or above. No new request begins
 * after `maxSeconds`.
 */
export function generatedRequests(
  dialect: 'sqlite' | 'postgresql',
  requests: number,
  request: { seed: number; maxSeconds?: number },
): Promise<RequestsReport> {
  return ask(EVERYTHING, dialect, requests, request);
}

async function ask(
  asked: Asked,
  dialect: 'sqlite' | 'postgresql',
  requests: number,
  { seed, maxSeconds = 900 }: { seed: number; maxSeconds?: number },
): Promise<RequestsReport> {
  const begun = Date.now();
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-requests-'));
  const server = dialect === 'postgresql' ? await startPostgresql(folder) : null;
  const url = server === null ? `file:${join(folder, 'records.db')}` : await server.url('asked');
  const shop = await openWorkshop(START, url);
  try {
    const asker = await Asker.over(shop, seed, asked.operations(OPERATIONS));
    const over = () => Date.now() - begun > maxSeconds * 1_000;
    let count = 0;
    const worker = async () => {
      while (count < requests && !over()) await asker.ask(count++);
    };
    await Promise.all(Array.from({ length: asked.atOnce }, worker));
    return {
      name: `${asked.name}-${dialect}`,
      seed,
      ...asker.report(),
      seconds: Math.round((Date.now() - begun) / 1_000),
    };
  } finally {
    await shop.close();
    await server?.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}

const document = JSON.parse(readFileSync(OPENAPI_FILE, 'utf8')) as {
  paths: Record<string, Record<string, Operation>>;
  components: { schemas: Json };
};
const OPERATIONS: readonly Described[] = Object.entries(document.paths).flatMap(([path, methods]) =>
  Object.entries(methods).map(([method, operation]) => ({ method, path, operation })),
);
const bodyOf = bodiesBy(document.components.schemas);

/** Where the ids that a name asks for stand. */
const TABLES: Readonly<Record<string, string>> = {
  owners: 'owner',
  ownerId: 'owner',
  cars: 'car',
  carId: 'car',
  tops: 'top',
  topId: 'top',
  visits: 'visit',
  visitId: 'visit',
  entryId: 'position_entry',
  findingId: 'finding',
  letters: 'letter',
  letterId: 'letter',
  framePatternId: 'frame_pattern',
};

const CLOSED: Readonly<Record<string, readonly string[]>> = {
  part: ['oil', 'washer', 'pin', 'bush', 'circlip'],
  kind: ['care-note', 'lubrication-due', 'folded-over', 'visit-booked'],
  language: ['en', 'de'],
  slot: ['lead', 'closing'],
  name: ['interval', 'folding', 'pivot', 'bench', 'money'],
};

class Asker {
  readonly #shop: Workshop;
  readonly #seed: number;
  readonly #draw: () => number;
  readonly #keys: readonly string[];
  readonly #operations: readonly Described[];
  readonly #ids = new Map<string, string[]>();
  readonly #answers: Record<string, number> = {};
  readonly #done = new Set<string>();
  readonly #examples: string[] = [];
  #counts = { requests: 0, faults: 0, undescribed: 0, stuck: 0 };
  #slowest = { ms: 0, what: '' };

  private constructor(
    shop: Workshop,
    seed: number,
    operations: readonly Described[],
    keys: readonly string[],
  ) {
    this.#operations = operations;
    this.#shop = shop;
    this.#seed = seed;
    this.#draw = numbersFrom(seed);
    this.#keys = keys;
  }

  static async over(
    shop: Workshop,
    seed: number,
    operations: readonly Described[],
  ): Promise<Asker> {
    await loadScenario(shop.context);
    await shop.post('/v1/round', {});
    const rows = await shop.context.store.sql.all<{ name: string }>(
      'SELECT "name" FROM "organisation" ORDER BY "createdAt"',
    );
    const keys: string[] = [];
    for (const { name } of rows) {
      // The demo's shop is asked for most; a key of every other kind comes in between.
      for (const scope of ['full', 'full', 'full', 'read', 'log'] as const) {
        keys.push((await makeKey(shop.context, { name }, scope)).key);
      }
    }
    const asker = new Asker(shop, seed, operations, keys);
    await asker.#readIds();
    return asker;
  }

  async ask(n: number): Promise<void> {
    if (n % CLOCK_EVERY === CLOCK_EVERY - 1) {
      const day = addDays(START.slice(0, 10), Math.floor(this.#draw() * 180) - 90);
      this.#shop.setNow(
        `${day}T${String(Math.floor(this.#draw() * 24)).padStart(2, '0')}:30:00.000Z`,
      );
      await this.#readIds();
    }
    const described = this.#one(this.#operations);
    const { method, path, operation } = described;
    const address = this.#address(described);
    const body = await this.#body(operation, n);
    const type = Object.keys(operation.requestBody?.content ?? {})[0];
    const headers: Record<string, string> = {
      authorization: `Bearer ${this.#chance(0.02) ? 'fk_nobody' : this.#key()}`,
      ...(type === undefined || body === undefined ? {} : { 'content-type': type }),
      ...(this.#chance(0.9) ? { 'if-match': this.#chance(0.8) ? '*' : '"1"' } : {}),
      ...(method === 'post' && this.#chance(0.3)
        ? { 'idempotency-key': `"${Math.floor(this.#draw() * 500)}"` }
        : {}),
    };
    const what = `${method} ${path}`;
    const begun = Date.now();
    const answer = await this.#answerOr(
      this.#shop.server.inject({
        method: method.toUpperCase() as 'GET',
        url: address,
        headers,
        ...(body === undefined
          ? {}
          : { payload: type === 'application/json' ? JSON.stringify(body) : asText(body) }),
      }),
    );
    const ms = Date.now() - begun;
    this.#counts.requests++;
    if (ms > this.#slowest.ms) this.#slowest = { ms, what };
    const status = answer?.statusCode ?? 0;
    const first = String(Math.floor(status / 100));
    this.#answers[first] = (this.#answers[first] ?? 0) + 1;
    const words = `${status} ${method} ${address} ${JSON.stringify(body ?? null).slice(0, 400)}`;
    if (answer === null) this.#note('stuck', words);
    else if (status >= 500) this.#note('faults', words);
    else if (!(String(status) in operation.responses)) this.#note('undescribed', words);
    if (first === '2') this.#done.add(what);
  }

  report() {
    return {
      ...this.#counts,
      answers: this.#answers,
      operations: new Set(this.#operations).size,
      done: this.#done.size,
      examples: this.#examples,
      slowestMs: this.#slowest.ms,
      slowest: this.#slowest.what,
    };
  }

  #note(what: 'stuck' | 'faults' | 'undescribed', words: string): void {
    this.#counts[what]++;
    if (this.#examples.length < 12) this.#examples.push(words);
  }

  async #answerOr<T>(answer: Promise<T>): Promise<T | null> {
    let timer: NodeJS.Timeout | undefined;
    const patience = new Promise<null>((resolve) => {
      timer = setTimeout(() => resolve(null), PATIENCE_MS);
    });
    try {
      return await Promise.race([answer, patience]);
    } finally {
      clearTimeout(timer);
    }
  }

  async #readIds(): Promise<void> {
    for (const table of new Set(Object.values(TABLES))) {
      const rows = await this.#shop.context.store.sql.all<{ id: string }>(
        `SELECT "id" FROM "${table}" ORDER BY "id" LIMIT 2000`,
      );
      this.#ids.set(
        table,
        rows.map(({ id }) => id),
      );
    }
  }

  #chance(share: number): boolean {
    return this.#draw() < share;
  }

  #one<T>(from: readonly T[]): T {
    return from[Math.floor(this.#draw() * from.length)] as T;
  }

  #key(): string {
    // The first organisation of the demo is its shop.
    return this.#chance(0.7) ? (this.#keys[0] ?? '') : this.#one(this.#keys);
  }

  #idFor(name: string): string | null {
    const ids = this.#ids.get(TABLES[name] ?? '') ?? [];
    return ids.length === 0 ? null : this.#one(ids);
  }

  #address({ path, operation }: Described): string {
    const place = path.split('/')[2] ?? '';
    const part = path.replaceAll(/\{(\w+)\}/g, (_, name: string) => {
      if (this.#chance(0.05)) return encodeURIComponent(asText(this.#one(ODD)) || 'x');
      const closed = CLOSED[name];
      if (closed !== undefined) return this.#one(closed);
      return this.#idFor(name === 'id' ? place : name) ?? 'unknown';
    });
    const query = (operation.parameters ?? [])
      .filter(({ in: where, required }) => where === 'query' && (required || this.#chance(0.4)))
      .map(({ name, schema }) => `${name}=${encodeURIComponent(this.#value(name, schema))}`);
    if (this.#chance(0.02)) query.push('nobodyReadsThis=1');
    return query.length === 0 ? part : `${part}?${query.join('&')}`;
  }

  #value(name: string, schema: Schema): string {
    if (this.#chance(0.1)) return asText(this.#one(ODD));
    const id = this.#idFor(name);
    if (id !== null) return id;
    const options = schema['enum'];
    if (Array.isArray(options)) return asText(this.#one(options));
    if (schema['type'] === 'integer' || schema['type'] === 'number') {
      const { minimum = 1, maximum = 50 } = schema as { minimum?: number; maximum?: number };
      return String(minimum + Math.floor(this.#draw() * (Math.min(maximum, 500) - minimum + 1)));
    }
    if (schema['type'] === 'boolean') return this.#chance(0.5) ? 'true' : 'false';
    if (name === 'at') return this.#instant();
    if (['from', 'to', 'until'].includes(name)) return this.#instant().slice(0, 10);
    return this.#one(['a', 'DEMO 1', 'äöü', '%', "'; --", '1']);
  }

  #instant(): string {
    return `${addDays(START.slice(0, 10), Math.floor(this.#draw() * 800) - 400)}T10:00:00.000Z`;
  }

  async #body(operation: Operation, n: number): Promise<Json | undefined> {
    const content = Object.entries(operation.requestBody?.content ?? {})[0];
    if (content === undefined) return this.#chance(0.02) ? { a: 1 } : undefined;
    const [type, { schema }] = content;
    if (type !== 'application/json') return this.#chance(0.5) ? 'Subject: a\r\n\r\nb' : '';
    const body = this.#withIds(await bodyOf(schema, this.#seed + n, this.#one([0.1, 0.5, 0.9])));
    if (this.#chance(0.65)) return body;
    const wrong = [...spoilt(body)];
    return this.#one(wrong);
  }

  /** Ids and days that mean something: else hardly any deed would be done. */
  #withIds(body: Json, name = ''): Json {
    if (typeof body === 'string') {
      if (/^\d{4}-\d{2}-\d{2}T/.test(body)) return this.#chance(0.8) ? this.#instant() : body;
      if (/^\d{4}-\d{2}-\d{2}$/.test(body) && this.#chance(0.8))
        return this.#instant().slice(0, 10);
      return this.#chance(0.9) ? (this.#idFor(name) ?? body) : body;
    }
    if (Array.isArray(body)) return body.map((one) => this.#withIds(one, name));
    if (typeof body !== 'object' || body === null) return body;
    return Object.fromEntries(
      Object.entries(body).map(([key, one]) => [key, this.#withIds(one, key)]),
    );
  }
}

/** As it would stand in an address. */
function asText(value: Json): string {
  return typeof value === 'string' ? value : JSON.stringify(value);
}
