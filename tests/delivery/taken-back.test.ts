import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { buildApp } from '../../src/app.ts';
import { readSettings } from '../../src/config.ts';
import { fitted, openWorkshop } from '../setup/workshop.ts';

const NOW = '2026-06-12T09:00:00.000Z';

it('letters in the hands of a process that died are taken back at the next start', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-taken-'));
  const url = `file:${join(folder, 'records.db')}`;
  const shop = await openWorkshop(NOW, url);
  const owners = ['ada', 'ben'].map((name) => ({ name, email: `${name}@example.org` }));
  for (const owner of owners) await fitted(shop, { owner, top: { fittedOn: '2025-06-10' } });
  const { letters } = (await shop.post('/v1/round')).body;
  expect(letters.length).toBeGreaterThan(1);
  const begun = letters[1].id;
  await shop.context.store.writeSql((sql) =>
    sql.run(
      `UPDATE "letter" SET "state" = 'sending', "leaseToken" = 'died', "leaseUntil" = '2026-06-12T09:15:00.000Z', "startedAt" = CASE WHEN "id" = ? THEN '${NOW}' END`,
      [begun],
    ),
  );
  await shop.close();
  const env = { PORT: '0', DATABASE_URL: url, MAIL_TRAY: join(folder, 'tray') };
  let now = '2026-06-12T09:00:05.000Z';
  const app = await buildApp(readSettings(env), { logger: false, now: () => now });
  const states = async () =>
    new Map(
      (
        await app.store.sql.all<{ id: string; state: string; nextTryAt: string }>(
          'SELECT "id", "state", "nextTryAt" FROM "letter"',
        )
      ).map(({ id, state, nextTryAt }) => [id, `${state} ${nextTryAt}`]),
    );
  const others = async () => [...(await states())].filter(([id]) => id !== begun);
  expect((await states()).get(begun)).toBe('unknown 2026-06-12T09:01:05.000Z');
  expect((await others()).filter(([, state]) => !state.startsWith('planned'))).toEqual([]);
  await app.deliver();
  expect((await states()).get(begun)).toMatch(/^unknown/);
  expect((await others()).filter(([, state]) => !state.startsWith('delivered'))).toEqual([]);
  now = '2026-06-12T09:01:10.000Z';
  await app.deliver();
  expect((await states()).get(begun)).toMatch(/^delivered/);
  await app.close();
  rmSync(folder, { recursive: true });
});
