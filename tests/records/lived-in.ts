import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { traySender } from '../../src/mail/tray.ts';
import { openStore } from '../../src/store/open-store.ts';
import { insertRows } from '../../src/store/sql.ts';
import type { Deed } from '../../src/usecases/deed.ts';
import { deliverLetters } from '../../src/usecases/deliver-letters.ts';
import { exportRecords } from '../../src/usecases/export-records.ts';
import { loadScenario } from '../../src/usecases/load-scenario.ts';
import { makeKey } from '../../src/usecases/organisations.ts';
import { planRound } from '../../src/usecases/plan-round.ts';

export const NOW = '2026-07-15T12:00:00.000Z';

export async function deedAt(databaseUrl: string, now = NOW): Promise<Deed> {
  return {
    store: await openStore(databaseUrl),
    now: () => now,
    publicUrl: 'https://care.example.org',
    mailDomain: 'example.org',
  };
}

/** A folder of its own for a test, and the way to be rid of it. */
export function ownFolder(): { path(name: string): string; remove(): void } {
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-records-'));
  return {
    path: (name) => join(folder, name),
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}

/** Years of invented history through the deeds, letters delivered, and a row in every other table. */
export async function liveIn(deed: Deed, tray: string): Promise<void> {
  await loadScenario(deed);
  await planRound(deed);
  await deliverAll(deed, tray);
  await fillTheRest(deed);
}

export async function deliverAll(deed: Deed, tray: string): Promise<void> {
  const sender = traySender(tray);
  await deliverLetters(deed, sender, {
    mailFrom: { name: 'Foldkeep', address: 'foldkeep@example.org' },
  });
  await sender.close();
}

/** Rows that the scenario has none of: whatever an export forgets would be lost without a word. */
async function fillTheRest(deed: Deed): Promise<void> {
  const { id: organisationId, name } = await deed.store.records.organisation.findFirstOrThrow();
  const car = await deed.store.records.car.findFirstOrThrow({ where: { organisationId } });
  const top = await deed.store.records.top.findFirstOrThrow({ where: { carId: car.id } });
  const letter = await deed.store.records.letter.findFirstOrThrow({ where: { organisationId } });
  const own = { organisationId };
  await makeKey(deed, { name }, 'full');
  await deed.store.writeSql(async (sql) => {
    const { addressHash } = letter;
    await insertRows(sql, 'consent_entry', [
      {
        ...own,
        id: 'agreed',
        addressHash,
        ownerId: null,
        topic: 'offers',
        given: true,
        at: NOW,
        by: 'key:1',
        words: 'Yes, please "write"; = why not?\nAda',
      },
    ]);
    await sql.run('DELETE FROM "diary"');
    await insertRows(sql, 'diary', [{ ...own, weekdays: '[1,2,4]', version: 2 }]);
    await insertRows(sql, 'closure', [
      { ...own, id: 'away', fromOn: '2026-08-01', untilOn: '2026-08-14', words: 'away' },
    ]);
    await insertRows(sql, 'offer', [
      {
        ...own,
        id: 'offered',
        topId: top.id,
        week: '2026-W36',
        weeks: '["2026-W36","2026-W37"]',
        dueOn: '2026-09-01',
        state: 'open',
        offeredAt: NOW,
        endedAt: null,
        visitId: null,
      },
    ]);
    await insertRows(sql, 'call_entry', [
      {
        ...own,
        id: 'rung',
        carId: car.id,
        ownerId: car.ownerId,
        calledOn: '2026-07-14',
        outcome: 'no-answer',
        notes: null,
        recordedAt: NOW,
      },
    ]);
    await insertRows(sql, 'stock', [
      { ...own, part: 'washer-kit', inHand: 3, onOrder: 1, leadWeeks: 2.5, version: 4 },
    ]);
    await insertRows(sql, 'shop_rule_change', [
      {
        ...own,
        id: 'changed',
        keyId: 'key-1',
        changedAt: NOW,
        figure: 'round.aheadDays',
        was: null,
        becomes: 35,
        version: 2,
      },
    ]);
    await sql.run('UPDATE "organisation" SET "ownRules" = ? WHERE "id" = ?', [
      '{"due.windowBeforeDays":30}',
      organisationId,
    ]);
    await insertRows(sql, 'report', [
      {
        ...own,
        digest: 'd1',
        letterId: letter.id,
        kind: 'delivery',
        verdict: 'policy',
        words: '5.7.1',
        receivedAt: NOW,
      },
    ]);
    await insertRows(sql, 'wording', [
      {
        ...own,
        kind: 'care-note',
        language: 'en',
        slot: 'greeting',
        text: 'Hello',
        changedAt: NOW,
      },
    ]);
    await insertRows(sql, 'session', [
      {
        ...own,
        id: 's1',
        accessKeyId: 'key-1',
        hash: 'session-hash',
        createdAt: NOW,
        expiresAt: NOW,
      },
    ]);
  });
}

export interface ExportedDocument {
  format: string;
  version: number;
  exportedAt: string;
  organisations: Record<string, Record<string, unknown>[]>[];
}

/** What an export of a database holds. */
export async function exported(databaseUrl: string, file: string): Promise<ExportedDocument> {
  await exportRecords(databaseUrl, NOW, { file, organisation: null });
  return JSON.parse(readFileSync(file, 'utf8')) as ExportedDocument;
}
