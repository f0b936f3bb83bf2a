import { writeFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Context } from '../../src/usecases/context/context.ts';
import { importFile } from '../../src/usecases/tables/import-file.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';
import type { ExportedDocument } from './lived-in.ts';
import { contextAt, exported, NOW, ownFolder } from './lived-in.ts';

type Organisation = Record<string, any>; // oxlint-disable-line typescript/no-explicit-any
type Change = (organisation: Organisation) => unknown;

const folder = ownFolder();
let document: ExportedDocument;
let context: Context;

beforeAll(async () => {
  const source = `file:${folder.path('source.db')}`;
  const workshop = await openWorkshop(NOW, source);
  const { topId } = await fitted(workshop);
  await fitted(workshop, {
    owner: { email: 'bea@example.org' },
    car: { registration: 'FK 2' },
    top: { fittedOn: '2025-07-20' },
  });
  await workshop.post(`/v1/tops/${topId}/visits`, {
    kind: 'look',
    doneOn: '2026-05-02',
    readings: [{ pivot: 'L-MAIN', state: 'dry', oiled: true, axialPlayMm: 0.2 }],
  });
  await planRound(workshop.context);
  document = await exported(source, folder.path('sound.json'));
  await workshop.close();
  context = await contextAt(`file:${folder.path('target.db')}`);
});
afterAll(async () => {
  await context.store.close();
  folder.remove();
});

const take = (text: string) => {
  writeFileSync(folder.path('changed.json'), text);
  const file = folder.path('changed.json');
  return importFile(context, { file, organisation: null, dryRun: false });
};

describe('a document that was changed by hand', () => {
  it.each<[string, Change, string, RegExp]>([
    ['an unknown field', (o) => (o['cars'][0].paint = 'red'), 'cars/0/paint', /no such field/],
    [
      'a missing field',
      (o) => delete o['cars'][1].place,
      'cars/1/place',
      /Missing. Give one of "heated-garage"/,
    ],
    ['an unknown kind of record', (o) => (o['boats'] = []), 'boats', /no such field/],
    [
      'an impossible day',
      (o) => (o['tops'][0].fittedOn = '2025-02-29'),
      'tops/0/fittedOn',
      /day that exists/,
    ],
    [
      'an unknown zone',
      (o) => (o['owners'][1].timeZone = 'Mars/Phobos'),
      'owners/1/timeZone',
      /time zone/,
    ],
    ['a forged header', (o) => (o['owners'][0].name = 'A\r\nBcc: x'), 'owners/0/name', /control/],
    [
      'negative play',
      (o) => (o['readings'][0].axialPlayMm = -1),
      'readings/0/axialPlayMm',
      /negative/,
    ],
    [
      'a stranger for an owner',
      (o) => (o['cars'][0].ownerId = 'nobody'),
      'cars/0/ownerId',
      /no record "nobody"/,
    ],
    ['one id twice', (o) => (o['owners'][1].id = o['owners'][0].id), 'owners/1/id', /twice/],
    [
      'one Message-ID twice',
      (o) => (o['letters'][1].messageId = o['letters'][0].messageId),
      'letters/1/messageId',
      /twice/,
    ],
    [
      'an unknown figure',
      (o) => (o['ownRules'] = { 'due.nothing': 1 }),
      'ownRules/due.nothing',
      /no such figure/,
    ],
    [
      'a figure out of range',
      (o) => (o['ownRules'] = { 'due.windowBeforeDays': 900 }),
      'ownRules/due.windowBeforeDays',
      /from 0 to 90/,
    ],
    [
      'an unknown frame pattern',
      (o) => (o['tops'][1].framePattern = 'none'),
      'tops/1/framePattern',
      /no frame pattern/,
    ],
    [
      'a done visit without its day',
      (o) => (o['visits'].find((v: { state: string }) => v.state === 'done').doneOn = null),
      'visits/0/doneOn',
      /day/,
    ],
    [
      'too many washers',
      (o) => (
        (o['pivots'].find(
          (p: { id: string }) => p.id === o['readings'][0].pivotId,
        ).washersExpected = 0),
        (o['readings'][0].washersPresent = 2)
      ),
      'readings/0/washersPresent',
      /takes 0 washers/,
    ],
  ])('with %s is refused by the place', async (_, change, place, words) => {
    const changed = structuredClone(document);
    change(changed.organisations[0] as Organisation);
    const refusal = await take(JSON.stringify(changed)).then(() => 'was not refused', String);
    expect(refusal).toContain(`#/organisations/0/${place}: `);
    expect(refusal).toMatch(words);
    expect(await context.store.records.organisation.count()).toBe(0);
  });

  it.each([
    ['{"format":"foldkeep-records",\n"version":1,', /line 2: The file is not JSON/],
    ['{"format":"something-else"}', /#\/format/],
    ['{"format":"foldkeep-records","version":2}', /newer Foldkeep/],
    ['[]', /#\/format/],
  ])('into %j is refused', async (text, words) => {
    await expect(take(text)).rejects.toThrow(words);
  });
});

it('is taken in where nothing was changed', async () => {
  const { tally } = await take(JSON.stringify(document));
  expect(tally).toMatchObject({ organisations: 1, owners: 2, cars: 2, tops: 2, readings: 1 });
});
