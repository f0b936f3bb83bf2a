import { randomBytes } from 'node:crypto';
import { Writable } from 'node:stream';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { buildServer } from '../../src/http/server.ts';
import { maskedUrl } from '../../src/http/gate/log-mask.ts';
import { openWorkshop } from '../setup/workshop.ts';

const token = () => randomBytes(32).toString('base64url');

it('no token reaches the log, whether a route has such an address or not', async () => {
  const shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  let log = '';
  const stream = new Writable({
    write(chunk, _encoding, done) {
      log += String(chunk);
      done();
    },
  });
  const server = await buildServer(
    shop.context,
    {
      mailTray: null,
      ready: async () => ({ ready: true, parts: {} }),
      metrics: async () => ({ contentType: 'text/plain', text: '' }),
    },
    { level: 'trace', stream },
  );
  const places = ['/o/TT', '/O/TT', '/o/TT/more', '//o/TT', '/x/TT', '/TT', '/v1/o/TT', '/?t=TT'];
  places.push('/u/TT', '/b/TT', '/calendar/TT.ics', '/calendar/TT', '/o/%TT', '/o/a%2fTT', '/oTT');
  const hidden: string[] = [];
  for (const place of places) {
    const secret = token();
    hidden.push(secret);
    const url = place.replace('TT', secret);
    for (const method of ['GET', 'POST', 'DELETE'] as const) await server.inject({ method, url });
    const first = `%${(secret.codePointAt(0) ?? 0).toString(16)}${secret.slice(1)}`;
    await server.inject({ method: 'GET', url: place.replace('TT', first) });
    hidden.push(secret.slice(1));
  }
  await server.close();
  await shop.close();
  expect(log).toContain('incoming request');
  expect(hidden.filter((secret) => log.includes(secret))).toEqual([]);
});

it('ids of records stay, and nothing long does beside them', () => {
  const id = '0199c2f0-7b1a-7c3d-9e4f-0123456789ab';
  expect(maskedUrl(`/v1/cars/${id}/position`)).toBe(`/v1/cars/${id}/position`);
  fc.assert(
    fc.property(fc.stringMatching(/^[A-Za-z0-9_-]{43}$/), fc.webPath(), (secret, path) => {
      expect(maskedUrl(`${path}/${secret}`)).not.toContain(secret);
      expect(maskedUrl(`/o/${secret}${path}`)).not.toContain(secret);
    }),
  );
});
