import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { traySender } from '../../src/mail/tray.ts';
import { openStore } from '../../src/store/database/open-store.ts';
import { insertRows } from '../../src/store/database/sql.ts';
import type { Context } from '../../src/usecases/context/context.ts';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import { exportRecords } from '../../src/usecases/records/export-records.ts';
import { isScenarioLoaded, loadScenario } from '../../src/usecases/scenario/load-scenario.ts';
import { begun } from '../setup/fresh-sqlite.ts';
import { makeKey } from '../../src/usecases/organisations/organisations.ts';
import { planRound } from '../../src/usecases/round/plan-round.ts';

export const NOW = '2026-07-15T12:00:00.000Z';

export async function contextAt(databaseUrl: string, now = NOW): Promise<Context> {
  return {
    store: await openStore(begun(databaseUrl)),
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

/**
 * Years of invented history through the deeds, unless the records have them already; then letters
 * delivered, and a row in every other table.
 */
export async function liveIn(context: Context, tray: string): Promise<void> {
  if (!(await isScenarioLoaded(context))) await loadScenario(context);
  await planRound(context);
  await deliverAll(context, tray);
  await fillTheRest(context);
}

export async function deliverAll(context: Context, tray: string): Promise<void> {
  const sender = traySender(tray);
  await deliverLetters(context, sender, {
    mailFrom: { name: 'Foldkeep', address: 'foldkeep@example.org' },
  });
  await sender.close();
}

/** Rows that the scenario has none of: whatever an export forgets would be lost without a word. */
async function fillTheRest(context: Context): Promise<void> {
  const { id: organisationId, name } = await context.store.records.organisation.findFirstOrThrow();
  const car = await context.store.records.car.findFirstOrThrow({ where: { organisationId } });
  const top = await context.store.records.top.findFirstOrThrow({ where: { carId: car.id } });
  const visit = await context.store.records.visit.findFirstOrThrow({ where: { topId: top.id } });
  const letter = await context.store.records.letter.findFirstOrThrow({ where: { organisationId } });
  const own = { organisationId };
  await makeKey(context, { name }, 'full');
  await context.store.writeSql(async (sql) => {
    const { addressHash } = letter;
    await sql.run('UPDATE "car" SET "ownerSince" = ? WHERE "id" = ?', [NOW, car.id]);
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
    await insertRows(sql, 'club_letter', [
      {
        ...own,
        id: 'club-letter',
        subject: 'Spring; the "first" outing',
        text: 'Dear members,\n\nwe meet on Sunday; bring ten washers.',
        createdAt: NOW,
        sentAt: NOW,
        withdrawnAt: null,
        version: 2,
      },
    ]);
    await insertRows(sql, 'care_day', [
      {
        ...own,
        id: 'care-day',
        heldOn: '2026-08-22',
        place: 'The yard; "behind" the hall',
        fromTime: '09:00',
        untilTime: '15:00',
        breaks: '[{"from":"12:00","until":"12:45"}]',
        benches: 2,
        helpers: '[{"id":"h1","name":"Ann Rivet","from":"09:00","until":"15:00"}]',
        handMinutes: 30,
        poweredMinutes: 45,
        stepMinutes: 15,
        state: 'open',
        createdAt: NOW,
        version: 3,
      },
    ]);
    await insertRows(sql, 'care_day_place', [
      {
        ...own,
        id: 'place',
        careDayId: 'care-day',
        carId: car.id,
        answer: 'waiting',
        asked: 2,
        waitingSince: NOW,
        visitId: null,
        bench: null,
        helperId: 'h1',
        minutes: 50,
        createdAt: NOW,
        version: 2,
      },
    ]);
    await insertRows(sql, 'part_wish', [
      { ...own, careDayId: 'care-day', carId: car.id, part: 'oil', pieces: 2, changedAt: NOW },
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
    await insertRows(sql, 'part_order', [
      {
        ...own,
        id: 'order-1',
        part: 'oil',
        pieces: 3,
        orderedOn: '2026-07-01',
        expectedOn: '2026-07-20',
        words: 'No. 7',
        receivedOn: null,
        receivedPieces: null,
        calledOffOn: null,
        version: 1,
      },
    ]);
    await insertRows(sql, 'photo', [
      {
        ...own,
        id: 'photo-1',
        carId: car.id,
        visitId: null,
        pivotCode: 'L-MAIN',
        words: 'worn hole',
        takenOn: '2026-07-01',
        inLetter: true,
        width: 8,
        height: 6,
        recordedAt: NOW,
        removedAt: null,
        version: 1,
      },
    ]);
    await insertRows(sql, 'photo_data', [
      { ...own, photoId: 'photo-1', large: `_${'u'.repeat(60)}-`, small: '_u_' },
    ]);
    await insertRows(sql, 'estimate', [
      {
        ...own,
        id: 'estimate-1',
        number: 101,
        carId: car.id,
        topId: top.id,
        ownerId: car.ownerId,
        state: 'answered',
        currency: 'EUR',
        taxRate: null,
        taxName: null,
        words: 'Both on one day.',
        madeOn: '2026-07-01',
        sentAt: NOW,
        holdsUntil: '2026-07-31',
        answeredAt: NOW,
        replaces: null,
        version: 2,
      },
    ]);
    await insertRows(sql, 'estimate_line', [
      {
        ...own,
        id: 'estimate-line-1',
        estimateId: 'estimate-1',
        place: 0,
        work: 1,
        kind: 'work',
        text: 'new washers',
        quantity: 150,
        unitPrice: 8550,
        fault: 'washers-missing',
        pivots: '["L-MAIN"]',
        findings: '[]',
        part: null,
        strips: false,
        answer: 'accepted',
      },
    ]);
    await insertRows(sql, 'part_use', [
      { ...own, visitId: visit.id, part: 'oil', pieces: 1, takenOn: '2026-07-01' },
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
