import { v7 as newMessageId } from 'uuid';
import type { Day } from '../../domain/calendar/day.ts';
import { addDays } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { clockTimeIn, dayIn, instantAt } from '../../domain/calendar/zone.ts';
import { isDailyMailHour } from '../../domain/letters/daily-mail.ts';
import type { OutgoingLetter } from '../../mail/outgoing.ts';
import type { DailyMailRow } from '../../store/organisations/daily-mail-rows.ts';
import {
  giveBackDailyMail,
  takeDailyMail,
  wantDailyMail,
} from '../../store/organisations/daily-mail-rows.ts';
import type { DailyMailFacts } from '../../views/mails/daily-mail.ts';
import { dailyMail } from '../../views/mails/daily-mail.ts';
import { voiceFor } from '../../views/words/voice.ts';
import type { Caller, Context } from '../context/context.ts';
import { programCaller } from '../context/context.ts';
import type { TodayRecord } from './today-page.ts';
import { readToday } from './today-page.ts';

/** The way out for a message to the organisation itself; false where nobody took it over. */
export type DailyPost = (message: Omit<OutgoingLetter, 'from'>, from: string) => Promise<boolean>;

/**
 * Writes to each organisation that wants it what matters today, in one mail, at the first look of its
 * morning. A day on which nothing matters brings none. Whoever asks first of several processes sends it;
 * one that nobody took over is tried again at the next look, until the afternoon. Gives how many left and
 * how many did not.
 */
export async function sendDailyMails(
  context: Context,
  post: DailyPost,
): Promise<{ sent: number; failed: number }> {
  const { store } = context;
  const now = context.now();
  let sent = 0;
  let failed = 0;
  for (const row of await wantDailyMail(store.sql)) {
    const today = dayIn(row.timeZone, now);
    if (!isDailyMailHour(clockTimeIn(row.timeZone, now))) continue;
    if (row.dailyMailOn !== null && row.dailyMailOn >= today) continue;
    if (!(await store.writeSql((sql) => takeDailyMail(sql, row, today)))) continue;
    const message = await messageFor(context, row, today);
    if (message === null) continue;
    if (await post(message, row.name).catch(() => false)) {
      sent += 1;
      continue;
    }
    failed += 1;
    await store.writeSql((sql) => giveBackDailyMail(sql, row, today));
  }
  return { sent, failed };
}

/** How today's mail reads, or would; null where nothing matters. Nothing is sent. */
export async function previewDailyMail(
  context: Context,
  caller: Caller,
  { language, lastOn }: { readonly language: string; readonly lastOn: Day | null },
): Promise<{ subject: string; text: string; html: string } | null> {
  const today = await readToday(context, caller);
  const facts = factsOf(today, lastOn, context.publicUrl);
  return facts === null ? null : dailyMail(facts, voiceFor(language));
}

async function messageFor(
  context: Context,
  { id, name, email, language, dailyMailOn }: DailyMailRow,
  today: Day,
): Promise<Omit<OutgoingLetter, 'from'> | null> {
  const caller = programCaller(id, 'clock');
  const lastOn = dailyMailOn ?? addDays(today, -1);
  const words = await previewDailyMail(context, caller, { language, lastOn });
  if (words === null) return null;
  return {
    ...words,
    messageId: `<d-${newMessageId()}@${context.mailDomain}>`,
    date: context.now(),
    to: { name, address: email },
    headers: { 'Auto-Submitted': 'auto-generated' },
  };
}

const SHOWN = 12;

/**
 * What of the day's page goes into the mail. What stands there every day alike (whom to ring, what to
 * order) comes along where something else calls for a mail, and calls for none by itself.
 */
function factsOf(
  { today, organisation, staying, bench, folded, letters, news, calls, ahead, now }: TodayRecord,
  lastOn: Day | null,
  publicUrl: string,
): DailyMailFacts | null {
  const { timeZone } = organisation;
  const since: Instant = lastOn === null ? '' : instantAt(timeZone, lastOn, '00:00');
  // One that was put up rests; nobody has to hurry for it any more.
  const down = folded.filter(({ clock }) => clock.position !== 'raised');
  const unbooked = staying.filter(({ repairOn }) => repairOn === null);
  const fresh = news.filter(({ at }) => at >= since);
  const [first] = bench;
  const calling = [unbooked, fresh, first?.visits ?? [], down, letters.faults, letters.setAside];
  if (calling.every((one) => one.length === 0)) return null;
  return {
    organisation: organisation.name,
    timeZone,
    now,
    today,
    staying: unbooked.slice(0, SHOWN),
    bench: bench.map(({ on, visits }) => ({
      on,
      visits: visits.slice(0, SHOWN).map(({ dropOff = null, top, kind }) => ({
        dropOff,
        registration: top.registration,
        kind,
      })),
    })),
    news: fresh.slice(0, SHOWN),
    faults: letters.faults.length + letters.setAside.length,
    folded: down.length,
    calls: calls.inAll,
    order: ahead.parts.length,
    page: `${publicUrl}/today`,
    settings: `${publicUrl}/settings`,
  };
}
