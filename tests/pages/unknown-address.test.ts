import { afterAll, beforeAll, expect, it } from 'vitest';
import type { Workshop } from '../setup/workshop.ts';
import { fitted } from '../setup/workshop.ts';
import { openDesk, wordsOf } from './desk.ts';
import { openWorkshop } from '../setup/workshop.ts';

let shop: Workshop;
beforeAll(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
});
afterAll(() => shop.close());

const ask = (url: string, headers: Record<string, string>) =>
  shop.server.inject({ method: 'GET', url, headers });

it('gets a page in the reader’s language where a browser asks, under the policy of pages', async () => {
  const browser = { accept: 'text/html,application/xhtml+xml,*/*;q=0.8' };
  const page = await ask('/nonsense', { ...browser, 'accept-language': 'de-AT,de;q=0.9' });
  expect(page.statusCode).toBe(404);
  expect(page.headers['content-type']).toContain('text/html');
  expect(page.headers['content-security-policy']).toContain("default-src 'none'");
  expect(page.body).toContain('<html lang="de">');
  expect(page.body).toContain('Diese Seite gibt es nicht');
  expect((await ask('/cars/1/2/3', browser)).body).toContain('There is no such page');
});

it.each([
  ['/nonsense', { accept: 'application/json' }],
  ['/nonsense', {}],
  ['/v1/nonsense', { accept: 'text/html' }],
])('is a problem document for programs and under the API: %s', async (url, headers) => {
  const answer = await ask(url, headers);
  expect(answer.statusCode).toBe(404);
  expect(answer.headers['content-type']).toContain('application/problem+json');
  expect(answer.json()).toMatchObject({ detail: `There is no GET ${url}. See /reference.` });
});

it('is a page of the house for who is signed in, where a record is gone', async () => {
  const { ownerId } = await fitted(shop);
  const desk = await openDesk(shop);
  const page = await desk.open(`/owners/${ownerId}`);
  const asked = await desk.send(page, `/owners/${ownerId}/erase`);
  const done = await desk.send(asked, `/owners/${ownerId}/erase`);
  expect(wordsOf((await desk.open(String(done.headers['location']))).html)).toContain(
    'The owner is erased.',
  );
  const gone = await desk.open(`/owners/${ownerId}`);
  expect(gone.status).toBe(404);
  expect(wordsOf(gone.html)).toContain('what was here is gone');
  expect(wordsOf(gone.html)).not.toContain('latest letter');
});
