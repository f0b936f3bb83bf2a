import type { Instant } from '../../domain/calendar/instant.ts';
import { addHours, addMinutes, msOf } from '../../domain/calendar/instant.ts';
import { isZone } from '../../domain/calendar/zone.ts';
import { loadDkimKey } from '../../mail/dkim.ts';
import type { AskTxt } from '../../mail/dns-check.ts';
import { checkRecords } from '../../mail/dns-check.ts';
import { dmarcRecord, dnsRecords, spfRecord } from '../../mail/dns-records.ts';
import { latestLook } from '../../store/cars/round-held-rows.ts';
import { roomLeft } from '../../store/files/room-left.ts';
import { readSnapshot } from '../../store/database/snapshot.ts';
import type { Sql } from '../../store/database/sql.ts';
import { sqliteFileOf } from '../../store/database/sqlite-store.ts';
import { databaseClock } from '../../store/letters/holder-rows.ts';
import { lettersByState, oldestDue } from '../../store/letters/letter-lists.ts';
import { countSetAside } from '../../store/letters/round-fault-rows.ts';
import { zonesInUse } from '../../store/organisations/zone-rows.ts';
import type { MailFinding, MailSetup } from '../delivery/check-mail.ts';
import { checkMailSetup } from '../delivery/check-mail.ts';

/** One thing that was looked at; the words of a fault say what to do. */
export type Finding = MailFinding;

export interface Examined extends MailSetup {
  readonly databaseUrl: string;
  readonly now: Instant;
  readonly askTxt: AskTxt;
  /** When the newest backup of the clock was made; null where there is none. */
  readonly newestBackup: Instant | null;
}

/**
 * Looks at all that the server needs, changes nothing and may be asked beside a running server: the
 * database and its disk, the clock, the zones, the letters that wait, the mail settings, and what the
 * DNS says of the sender.
 */
export async function* examine(asked: Examined): AsyncGenerator<Finding> {
  yield* examineRecords(asked);
  yield backupFinding(asked);
  // What is to be published is said below, by what the DNS answers.
  for await (const found of checkMailSetup(asked, asked.now)) {
    if (!found.words.startsWith('DNS, ')) yield found;
  }
  yield* examineNames(asked);
}

async function* examineRecords({ databaseUrl, now }: Examined): AsyncGenerator<Finding> {
  let findings: Finding[];
  try {
    findings = await readSnapshot(databaseUrl, async (sql) => [
      good(`the database can be read (${sql.dialect === 'sqlite' ? 'SQLite' : 'PostgreSQL'})`),
      ...(await clockFindings(sql, now)),
      ...(await zoneFindings(sql)),
      ...(await queueFindings(sql, now)),
    ]);
  } catch (fault) {
    yield bad(fault instanceof Error ? fault.message : String(fault));
    return;
  }
  yield* findings;
  if (databaseUrl.startsWith('file:')) yield await diskFinding(sqliteFileOf(databaseUrl));
}

const MEGABYTE = 1_000_000;
// A backup is a whole copy, and a migration may need as much again (shop rule).
const LEAST_FREE = 200 * MEGABYTE;

async function diskFinding(file: string): Promise<Finding> {
  const { bytes, free } = await roomLeft(file);
  const room = `${Math.round(free / MEGABYTE)} MB free beside a database of ${Math.ceil(bytes / MEGABYTE)} MB`;
  return free < Math.max(LEAST_FREE, 2 * bytes)
    ? bad(
        `the disk is nearly full: ${room}. Make room: without it nothing can be recorded or sent.`,
      )
    : good(`disk: ${room}`);
}

// Two nights (shop rule).
const BACKUP_HOURS = 49;

function backupFinding({ databaseUrl, newestBackup, now }: Examined): Finding {
  if (!databaseUrl.startsWith('file:')) {
    const words =
      'PostgreSQL is backed up by its own tools (pg_dump --format=custom); whether it is cannot be seen from here.';
    return { level: 'advice', words };
  }
  const how = 'see BACKUP_CRON and the log, or make one now: foldkeep backups make';
  if (newestBackup === null) return bad(`there is no backup: ${how}`);
  return addHours(newestBackup, BACKUP_HOURS) < now
    ? bad(`the newest backup is of ${newestBackup}: ${how}`)
    : good(`the newest backup is of ${newestBackup}`);
}

// More than a heartbeat or the times in letters can bear (shop rules).
const CLOCKS_APART_MS = 5_000;
const AHEAD_MINUTES = 5;

async function clockFindings(sql: Sql, now: Instant): Promise<Finding[]> {
  const latest = await latestLook(sql);
  const found: Finding[] = [];
  if (latest !== null && latest > addMinutes(now, AHEAD_MINUTES)) {
    found.push(
      bad(
        `the clock says ${now}, but a round was held at ${latest}: one of both is wrong. Set the clock (timedatectl); the next round then looks at everything again.`,
      ),
    );
  }
  if (sql.dialect === 'postgresql') {
    const theirs = await databaseClock(sql);
    const apart = Math.abs(msOf(theirs) - msOf(now));
    if (apart > CLOCKS_APART_MS) {
      found.push(
        bad(
          `this clock and that of the database are ${Math.round(apart / 1_000)} s apart. Let both machines keep time (timedatectl set-ntp true).`,
        ),
      );
    }
  }
  return found.length > 0 ? found : [good(`the clock says ${now}, in keeping with the records`)];
}

async function zoneFindings(sql: Sql): Promise<Finding[]> {
  const unknown = (await zonesInUse(sql)).filter((zone) => !isZone(zone));
  if (unknown.length === 0)
    return [good(`zones: all in use are known (data ${process.versions.tz ?? '?'})`)];
  return [
    bad(
      `this Node knows no zone ${unknown.join(', ')}: letters of those people cannot be timed. Install a newer Node, or correct the zones.`,
    ),
  ];
}

// Three runs of the delivery and a little (shop rule).
const LATE_MINUTES = 15;

async function queueFindings(sql: Sql, now: Instant): Promise<Finding[]> {
  const states = new Map((await lettersByState(sql)).map(({ state, n }) => [state, n]));
  const oldest = await oldestDue(sql, now);
  const aside = await countSetAside(sql);
  const found: Finding[] = [];
  if (oldest !== null && addMinutes(oldest, LATE_MINUTES) < now) {
    const minutes = Math.round((msOf(now) - msOf(oldest)) / 60_000);
    found.push(
      bad(
        `a letter has waited ${minutes} min: is the server running, with DELIVERY_CRON not "off", and does the mail server answer (below)?`,
      ),
    );
  }
  if (aside > 0) {
    found.push(
      bad(
        `the round could decide nothing for ${aside} owners. Today's page names them and says why.`,
      ),
    );
  }
  const doubtful = states.get('unknown') ?? 0;
  if (doubtful > 0) {
    found.push({
      level: 'advice',
      words: `${doubtful} letters may or may not have arrived. Today's page names those that wait for a word.`,
    });
  }
  return found.length > 0
    ? found
    : [good(`letters: ${states.get('planned') ?? 0} planned, none late, none in doubt`)];
}

async function* examineNames({
  mailFrom,
  dkim,
  smtpUrl,
  askTxt,
}: Examined): AsyncGenerator<Finding> {
  const domain = mailFrom.address.split('@')[1];
  // Letters in the tray go nowhere.
  if (smtpUrl === null || domain === undefined) return;
  const loaded = dkim === null ? null : await loadDkimKey(dkim);
  const key = loaded !== null && 'key' in loaded ? loaded.key : null;
  const records =
    key === null
      ? [spfRecord(domain), dmarcRecord(domain)]
      : dnsRecords({ ...key, mailFrom: mailFrom.address });
  yield* checkRecords(records, askTxt);
}

const good = (words: string): Finding => ({ level: 'ok', words });
const bad = (words: string): Finding => ({ level: 'fault', words });
