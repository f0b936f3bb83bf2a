import { afterAll, beforeAll, expect, it } from 'vitest';
import { eachDatabase } from '../setup/databases.ts';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';

const HALF = '\uD83D';
const TURNED = 'Ada \u202Elliuq';

eachDatabase('text that would not come back as it went in', ({ open }) => {
  let shop: Workshop;
  let topId: string;
  beforeAll(async () => {
    shop = await open('2026-06-12T09:00:00.000Z');
    ({ topId } = await fitted(shop));
  });
  afterAll(() => shop.close());
  const owner = (fields: object) =>
    shop.post('/v1/owners', { name: 'Ada', email: 'a@example.org', ...fields });

  it('is refused: half of a pair of surrogates, in names, notes and addresses', async () => {
    const visit = { kind: 'look', doneOn: '2026-06-11', notes: `oiled ${HALF}` };
    const answers = [
      await owner({ name: HALF }),
      await owner({ name: `Ada \uDC00 Quill` }),
      await owner({ phone: HALF }),
      await owner({ email: `a${HALF}@example.org` }),
      await shop.post(`/v1/tops/${topId}/visits`, visit),
    ];
    expect(answers.map(({ status }) => status)).toEqual([400, 400, 400, 400, 400]);
    expect((await owner({ name: 'Ada 💥 Quill' })).body.name).toBe('Ada 💥 Quill');
  });

  it('is refused: a name that turns the direction of what follows', async () => {
    for (const sign of ['\u202E', '\u202A', '\u2066', '\u2069', '\u200F', '\u061C']) {
      expect((await owner({ name: `Ada ${sign} Quill` })).status).toBe(400);
    }
    const { status, body } = await owner({ name: TURNED });
    expect(status).toBe(400);
    expect(body.errors[0].pointer).toBe('#/name');
    expect((await owner({ name: 'אדה קוויל' })).status).toBe(201);
  });
});
