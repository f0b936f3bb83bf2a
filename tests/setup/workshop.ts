import type { FastifyInstance } from 'fastify';
import type { Context, Scope } from '../../src/usecases/context/context.ts';
import { makeKey } from '../../src/usecases/organisations/organisations.ts';
import type { ServedStore } from './served-store.ts';
import { serveStore, takeServedStore } from './served-store.ts';

/** One answer of the server: status, parsed body, headers. */
export interface Answer {
  readonly status: number;
  // Tests look into bodies of many shapes; their expectations are the check.
  readonly body: any; // oxlint-disable-line typescript/no-explicit-any
  readonly headers: Record<string, unknown>;
}

/** A server over its own database, with a clock that the test sets, called without a network. */
export interface Workshop {
  readonly context: Context;
  readonly server: FastifyInstance;
  key: string;
  setNow(instant: string): void;
  call(
    method: string,
    path: string,
    body?: unknown,
    headers?: Record<string, string>,
  ): Promise<Answer>;
  post(path: string, body?: unknown, headers?: Record<string, string>): Promise<Answer>;
  get(path: string): Promise<Answer>;
  keyFor(organisation: string, scope?: Scope): Promise<string>;
  close(): Promise<void>;
}

/** Opens a workshop on an empty SQLite file, or on the database with this address. */
export async function openWorkshop(now: string, databaseUrl?: string): Promise<Workshop> {
  if (databaseUrl === undefined) return emptyWorkshop(now, 'sqlite');
  return workshopOn(now, await serveStore(databaseUrl));
}

/** Opens a workshop on an empty database of this kind. */
export async function emptyWorkshop(
  now: string,
  dialect: 'sqlite' | 'postgresql',
): Promise<Workshop> {
  return workshopOn(now, await takeServedStore(dialect));
}

async function workshopOn(now: string, served: ServedStore): Promise<Workshop> {
  const { context, server, setNow } = served;
  setNow(now);
  const keyFor = async (name: string, scope: Scope = 'full') =>
    (await makeKey(context, { name }, scope)).key;
  const workshop: Workshop = {
    context,
    server,
    key: await keyFor('Elmyard Soft Tops'),
    setNow,
    async call(method, path, body, headers = {}) {
      const response = await server.inject({
        method: method as 'GET',
        url: path,
        headers: { authorization: `Bearer ${workshop.key}`, ...headers },
        ...(body === undefined ? {} : { payload: body as object }),
      });
      const json = /json/.test(String(response.headers['content-type'] ?? ''));
      return {
        status: response.statusCode,
        body: json ? response.json() : response.body,
        headers: response.headers,
      };
    },
    post: (path, body, headers) => workshop.call('POST', path, body ?? {}, headers),
    get: (path) => workshop.call('GET', path),
    keyFor,
    close: () => served.leave(),
  };
  return workshop;
}

export interface CarAndTop {
  readonly ownerId: string;
  readonly carId: string;
  readonly topId: string;
}

/** An owner with a car and a fitted top, the plainest there is; what differs is handed in. */
export async function fitted(
  workshop: Pick<Workshop, 'post'>,
  with_: { owner?: object; car?: object; top?: object } = {},
): Promise<CarAndTop> {
  const owner = await workshop.post('/v1/owners', {
    name: 'Ada Quill',
    email: 'ada@example.org',
    timeZone: 'Europe/London',
    ...with_.owner,
  });
  const car = await workshop.post('/v1/cars', {
    ownerId: owner.body.id,
    registration: 'FK 1',
    handbook: {},
    keeping: { place: 'outdoors', salt: 'none', use: 'summer' },
    ...with_.car,
  });
  const top = await workshop.post('/v1/tops', {
    carId: car.body.id,
    fittedOn: '2024-03-10',
    framePattern: 'four-seat-manual',
    cover: { material: 'cloth' },
    window: 'glass',
    ...with_.top,
  });
  if (top.status !== 201)
    throw new Error(`no top: ${JSON.stringify([owner.body, car.body, top.body])}`);
  return { ownerId: owner.body.id, carId: car.body.id, topId: top.body.id };
}
