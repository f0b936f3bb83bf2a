import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Answer, CarAndTop, Workshop } from '../setup/workshop.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

let shop: Workshop;
let ids: CarAndTop;
beforeAll(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  ids = await fitted(shop);
});
afterAll(() => shop.close());

const expectProblem = (answer: Answer, status: number, pointer?: string) => {
  expect(answer.status).toBe(status);
  expect(answer.headers['content-type']).toMatch(/^application\/problem\+json/);
  expect(answer.headers['cache-control']).toBe('no-store');
  // RFC 9457: status repeats the HTTP status, type is absolute, title does not vary.
  expect(answer.body.status).toBe(status);
  expect(answer.body.type).toMatch(/^https:\/\//);
  if (pointer !== undefined) {
    expect(answer.body.errors.map((e: { pointer: string }) => e.pointer)).toContain(pointer);
    for (const error of answer.body.errors) expect(error.detail.length).toBeGreaterThan(5);
  }
};

const owner = { name: 'Ben Arrow', email: 'ben@example.net' };
const car = () => ({
  ownerId: ids.ownerId,
  registration: 'FK 9',
  handbook: {},
  keeping: { place: 'street', salt: 'none', use: 'daily' },
});
const top = () => ({
  carId: ids.carId,
  fittedOn: '2026-01-10',
  framePattern: 'four-seat-manual',
  cover: { material: 'vinyl' },
  window: 'clear-vinyl',
});

describe('bad input is refused by field', () => {
  it.each<[string, () => [path: string, body: unknown], string]>([
    ['an unknown field', () => ['/v1/owners', { ...owner, colour: 'red' }], '#/colour'],
    ['no name', () => ['/v1/owners', { email: owner.email }], '#/name'],
    ['a name that is blank', () => ['/v1/owners', { ...owner, name: '  ' }], '#/name'],
    [
      'a header in a name',
      () => ['/v1/owners', { ...owner, name: 'A\r\nBcc: b@example.org' }],
      '#/name',
    ],
    [
      'a header in an address',
      () => ['/v1/owners', { ...owner, email: 'a@example.org\r\nBcc: b@example.org' }],
      '#/email',
    ],
    [
      'two addresses',
      () => ['/v1/owners', { ...owner, email: 'a@example.org,b@example.org' }],
      '#/email',
    ],
    ['an unknown zone', () => ['/v1/owners', { ...owner, timeZone: 'Mars/Base' }], '#/timeZone'],
    ['an offset for a zone', () => ['/v1/owners', { ...owner, timeZone: '+01:00' }], '#/timeZone'],
    [
      'a limit of no days',
      () => ['/v1/cars', { ...car(), handbook: { foldedLimitDays: 0 } }],
      '#/handbook/foldedLimitDays',
    ],
    [
      'a limit of half a day',
      () => ['/v1/cars', { ...car(), handbook: { foldedLimitDays: 0.5 } }],
      '#/handbook/foldedLimitDays',
    ],
    [
      'an unknown place',
      () => ['/v1/cars', { ...car(), keeping: { place: 'moon', salt: 'none', use: 'daily' } }],
      '#/keeping/place',
    ],
    ['an owner of nobody', () => ['/v1/cars', { ...car(), ownerId: 'nobody' }], '#/ownerId'],
    [
      'a day that does not exist',
      () => ['/v1/tops', { ...top(), fittedOn: '2026-02-30' }],
      '#/fittedOn',
    ],
    ['a day to come', () => ['/v1/tops', { ...top(), fittedOn: '2026-06-13' }], '#/fittedOn'],
    [
      'a top before the one that is on',
      () => ['/v1/tops', { ...top(), fittedOn: '2024-03-10' }],
      '#/fittedOn',
    ],
    [
      'an unknown pattern',
      () => ['/v1/tops', { ...top(), framePattern: 'none' }],
      '#/framePattern',
    ],
    [
      'a position to come',
      () => [
        `/v1/cars/${ids.carId}/position`,
        { position: 'folded', at: '2026-06-12T09:05:00.001Z' },
      ],
      '#/at',
    ],
    [
      'an instant without a zone',
      () => [`/v1/cars/${ids.carId}/position`, { position: 'folded', at: '2026-06-12T08:00:00' }],
      '#/at',
    ],
    ['a visit without a day', () => [`/v1/tops/${ids.topId}/visits`, { kind: 'look' }], '#/doneOn'],
    [
      'a visit before the top',
      () => [`/v1/tops/${ids.topId}/visits`, { kind: 'look', doneOn: '2024-03-09' }],
      '#/doneOn',
    ],
    [
      'a visit to come as done',
      () => [`/v1/tops/${ids.topId}/visits`, { kind: 'look', doneOn: '2026-06-13' }],
      '#/doneOn',
    ],
    [
      'a pivot that the top does not have',
      () => [
        `/v1/tops/${ids.topId}/visits`,
        {
          kind: 'look',
          doneOn: '2026-06-12',
          readings: [{ pivot: 'L-NOSE', state: 'free', oiled: true }],
        },
      ],
      '#/readings/0/pivot',
    ],
    [
      'a pivot read twice',
      () => [
        `/v1/tops/${ids.topId}/visits`,
        {
          kind: 'look',
          doneOn: '2026-06-12',
          readings: [
            { pivot: 'L-MAIN', state: 'free', oiled: true },
            { pivot: 'L-MAIN', state: 'dry', oiled: true },
          ],
        },
      ],
      '#/readings/1/pivot',
    ],
    [
      'more washers than belong there',
      () => [
        `/v1/tops/${ids.topId}/visits`,
        {
          kind: 'look',
          doneOn: '2026-06-12',
          readings: [{ pivot: 'L-MAIN', state: 'free', oiled: true, washersPresent: 3 }],
        },
      ],
      '#/readings/0/washersPresent',
    ],
    [
      'a negative play',
      () => [
        `/v1/tops/${ids.topId}/visits`,
        {
          kind: 'look',
          doneOn: '2026-06-12',
          readings: [{ pivot: 'L-MAIN', state: 'free', oiled: true, axialPlayMm: -0.1 }],
        },
      ],
      '#/readings/0/axialPlayMm',
    ],
    [
      'an absurd sway',
      () => [`/v1/tops/${ids.topId}/visits`, { kind: 'look', doneOn: '2026-06-12', swayMm: 1e9 }],
      '#/swayMm',
    ],
    ['a round at no instant', () => ['/v1/round', { at: 'noon' }], '#/at'],
  ])('%s', async (_, request, pointer) => {
    const [path, body] = request();
    expectProblem(await shop.post(path, body), 400, pointer);
  });

  it('writes nothing of a refused visit', async () => {
    const before = await shop.get(`/v1/tops/${ids.topId}/visits`);
    await shop.post(`/v1/tops/${ids.topId}/visits`, {
      kind: 'lubrication',
      doneOn: '2026-06-12',
      readings: [
        { pivot: 'L-MAIN', state: 'free', oiled: true },
        { pivot: 'L-NOSE', state: 'free', oiled: true },
      ],
    });
    expect((await shop.get(`/v1/tops/${ids.topId}/visits`)).body).toEqual(before.body);
    expect((await shop.get(`/v1/tops/${ids.topId}`)).body.lubrication.lastOn).toBeNull();
  });

  it.each([
    ['/v1/owners?limit=0', 'limit'],
    ['/v1/owners?limit=ten', 'limit'],
    ['/v1/owners?colour=red', 'colour'],
    ['/v1/owners?after=nonsense', 'after'],
    // Nothing, the same in padding, and a list of another make.
    ['/v1/owners?after=WyIiXQ', 'after'],
    ['/v1/owners?after=WyJ4Il0%3D', 'after'],
    ['/v1/owners?after=WyJ4IiwieSJd', 'after'],
    ['/v1/due?after=WyIiLCIiXQ', 'after'],
    ...[
      // Well-formed, and of no list: a day that is none, an instant that is none, sums that are none.
      ['/v1/due', ['x', 'y']],
      ['/v1/due', ['2026-02-30', 'y']],
      ['/v1/looks', ['y', '2026-03-01']],
      ['/v1/warranties', ['later', 'y', 'cover']],
      ['/v1/calls', ['much', '1', 'y']],
      ['/v1/calls', ['1', 'Infinity', 'y']],
      ['/v1/calls', ['stays', 'some', 'stays']],
      ['/v1/owners', ['y'.repeat(65)]],
      ['/v1/cars', ['a\nb']],
    ].map(([path, parts]) => [
      `${path as string}?after=${Buffer.from(JSON.stringify(parts)).toString('base64url')}`,
      'after',
    ]),
    ['/v1/due?until=2026-02-30', 'until'],
    ['/v1/forecast?from=2026-07-01&to=2026-06-01', 'to'],
    ['/v1/forecast?to=2999-01-01', 'to'],
  ])('%s', async (path, pointer) => {
    expectProblem(await shop.get(path), 400, pointer);
  });

  // RFC 6901 section 3: ~ is written ~0 and / is written ~1.
  it('with a pointer that names a field of any name', async () => {
    const { status, body } = await shop.post('/v1/owners', { 'a/b~c': 1 });
    expect(status).toBe(400);
    expect(body.errors.map(({ pointer }: { pointer: string }) => pointer)).toContain('#/a~1b~0c');
  });

  it('broken JSON, another media type, too large a body, an unknown address', async () => {
    const raw = (payload: string, type: string) =>
      shop.server.inject({
        method: 'POST',
        url: '/v1/owners',
        headers: { authorization: `Bearer ${shop.key}`, 'content-type': type },
        payload,
      });
    expect((await raw('{"name":', 'application/json')).statusCode).toBe(400);
    expect((await raw('<a/>', 'application/xml')).statusCode).toBe(415);
    const form = 'name=A&email=a%40example.org';
    expect((await raw(form, 'application/x-www-form-urlencoded')).statusCode).toBe(415);
    expect((await raw(JSON.stringify(owner), 'text/plain')).statusCode).toBe(415);
    const large = await raw(
      JSON.stringify({ ...owner, name: 'x'.repeat(300_000) }),
      'application/json',
    );
    expect(large.statusCode).toBe(413);
    expect(large.headers['content-type']).toMatch(/^application\/problem\+json/);
    expectProblem(await shop.get('/v1/nothing'), 404);
  });
});

describe('keys', () => {
  it('are needed, and do only what their scope says', async () => {
    const full = shop.key;
    shop.key = 'fk_wrong-key-of-nobody';
    expectProblem(await shop.get('/v1/owners'), 401);
    shop.key = await shop.keyFor('Elmyard Soft Tops', 'read');
    expect((await shop.get('/v1/owners')).status).toBe(200);
    expectProblem(await shop.post('/v1/owners', owner), 403);
    shop.key = await shop.keyFor('Elmyard Soft Tops', 'log');
    expectProblem(await shop.get('/v1/owners'), 403);
    const entry = { position: 'raised', at: '2026-06-12T08:59:00Z' };
    expect((await shop.post(`/v1/cars/${ids.carId}/position`, entry)).status).toBe(201);
    shop.key = full;
  });
});

describe('changes', () => {
  // RFC 9110, 13.1.1 and the strong comparison of 8.8.3.2; 428 is RFC 6585, section 3.
  it.each([
    [undefined, 428],
    ['"v999"', 412],
    ['W/"v1"', 412],
    ['"v1", "v2"', 412],
    ['"nope"', 412],

    ['"a,b"', 412],
  ])('with If-Match %s answer %i and change nothing', async (tag, status) => {
    const headers: Record<string, string> = tag === undefined ? {} : { 'if-match': tag };
    const answer = await shop.call('PATCH', `/v1/owners/${ids.ownerId}`, { name: 'New' }, headers);
    expectProblem(answer, status);
    expect((await shop.get(`/v1/owners/${ids.ownerId}`)).body.name).toBe('Ada Quill');
  });

  // What is no entity tag (RFC 9110, 8.8.3) was not held against anything.
  it.each(['nope', 'v1', '1', '"v1', 'w/"v1"', '"v1" "v1"', '*, "v1"', '""v1""'])(
    'are told what an If-Match looks like where it is %s',
    async (tag) => {
      const path = `/v1/owners/${ids.ownerId}`;
      const answer = await shop.call('PATCH', path, { name: 'New' }, { 'if-match': tag });
      expectProblem(answer, 400, 'If-Match');
      expect(answer.body.errors[0].detail).toContain('"v3"');
      expect((await shop.get(path)).body.name).toBe('Ada Quill');
    },
  );

  it('with the right tag or * go through and raise the version', async () => {
    const path = `/v1/owners/${ids.ownerId}`;
    const tag = String((await shop.get(path)).headers['etag']);
    const changed = await shop.call('PATCH', path, { phone: '01' }, { 'if-match': tag });
    expect(changed.status).toBe(200);
    expect(changed.headers['etag']).not.toBe(tag);
    expect((await shop.call('PATCH', path, { phone: '02' }, { 'if-match': tag })).status).toBe(412);
    expect((await shop.call('PATCH', path, { phone: null }, { 'if-match': '*' })).status).toBe(200);
  });
});

describe('Idempotency-Key', () => {
  const once = (key: string, body: unknown) =>
    shop.post('/v1/owners', body, { 'idempotency-key': key });

  it('does the same request once and repeats its answer', async () => {
    const first = await once('"8e03978e-40d5-43e8-bc93-6894a57f9324"', owner);
    const again = await once('"8e03978e-40d5-43e8-bc93-6894a57f9324"', owner);
    expect(first.status).toBe(201);
    expect(again).toMatchObject({ status: 201, body: first.body });
    expect(again.headers['etag']).toBe(first.headers['etag']);
    expect(again.headers['idempotency-replayed']).toBe('true');
    const all = await shop.get('/v1/owners?limit=200');
    const same = all.body.items.filter((o: { email: string }) => o.email === owner.email);
    expect(same).toHaveLength(1);
  });

  it('refuses another request under the same key, and a key without quotes', async () => {
    await once('"other"', owner);
    expectProblem(await once('"other"', { ...owner, name: 'Cy' }), 422);
    // A structured-field string has quotes (RFC 9651, 3.3.3).
    expectProblem(
      await once('8e03978e-40d5-43e8-bc93-6894a57f9324', owner),
      400,
      'Idempotency-Key',
    );
  });

  it('belongs to one key: another organisation may use the same word', async () => {
    await once('"shared"', owner);
    const own = shop.key;
    shop.key = await shop.keyFor('A Third Shop');
    const other = await once('"shared"', owner);
    shop.key = own;
    expect(other.status).toBe(201);
    expect(other.headers['idempotency-replayed']).toBeUndefined();
  });

  it('keeps a refusal too, and lets go after 24 hours', async () => {
    const path = '/v1/tops';
    const late = { ...top(), fittedOn: '2026-06-13' };
    expect((await shop.post(path, late, { 'idempotency-key': '"t"' })).status).toBe(400);
    shop.setNow('2026-06-13T08:59:00.000Z');
    expect((await shop.post(path, late, { 'idempotency-key': '"t"' })).status).toBe(400);
    shop.setNow('2026-06-13T10:00:00.000Z');
    expect((await shop.post(path, late, { 'idempotency-key': '"t"' })).status).toBe(201);
    shop.setNow('2026-06-12T09:00:00.000Z');
  });
});

describe('lists', () => {
  it('page by cursor without gap or repetition', async () => {
    for (let i = 0; i < 7; i++)
      await shop.post('/v1/owners', { ...owner, email: `o${i}@example.com` });
    const all = (await shop.get('/v1/owners?limit=200')).body.items.map(
      (o: { id: string }) => o.id,
    );
    const seen: string[] = [];
    let next: string | null = '';
    while (next !== null) {
      const page: Answer = await shop.get(`/v1/owners?limit=3${next ? `&after=${next}` : ''}`);
      seen.push(...page.body.items.map((o: { id: string }) => o.id));
      next = page.body.next;
    }
    expect(seen).toEqual(all);
  });
});
