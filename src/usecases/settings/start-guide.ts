import type { OutgoingLetter } from '../../mail/outgoing.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { anyCar } from '../../store/cars/car-rows.ts';
import type { OrganisationChange } from '../../store/trail/trail-rows.ts';
import { newestDeed, noteDeed } from '../../store/trail/trail-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireRight } from '../context/context.ts';
import { newId } from '../context/new-id.ts';
import type { PersonRow } from '../../store/people/person-rows.ts';
import { findPerson } from '../../store/people/person-rows.ts';
import { trialMail } from '../../views/mails/staff-mail.ts';
import { notFound } from '../../domain/refusal.ts';
import type { OrganisationRecord } from '../organisations/organisations.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import type { DiarySettingsRecord } from './diary-settings.ts';
import { showDiarySettings } from './diary-settings.ts';

/** Tries to send one letter the way that all letters go, and says in words what happened. */
export type Trial = (
  letter: Omit<OutgoingLetter, 'from'>,
  fromName: string,
) => Promise<{ readonly sent: boolean; readonly words: string }>;

/** How far an organisation has come in being set up. */
export interface StartRecord {
  readonly organisation: OrganisationRecord;
  readonly diary: Pick<DiarySettingsRecord, 'weekdays' | 'place' | 'version'>;
  /** Where a trial letter would go; null for whoever signed in with a key. */
  readonly address: string | null;
  /** What the last trial letter came to. */
  readonly lastTrial: { readonly at: Instant; readonly words: string } | null;
  readonly hasCars: boolean;
}

/** What is set up and what is still missing. Nothing of it is kept by itself: it is read off the records. */
export async function readStart(context: Context, caller: Caller): Promise<StartRecord> {
  requireRight(caller, 'manage-organisation');
  const { sql } = context.store;
  const { weekdays, place, version } = await showDiarySettings(context, caller);
  const trial = await newestDeed(sql, caller.organisationId, TRIAL);
  return {
    organisation: await showOrganisation(context, caller),
    diary: { weekdays, place, version },
    address: await addressOf(context, caller),
    lastTrial: trial === null ? null : { at: trial.at, words: wordsIn(trial) },
    hasCars: await anyCar(sql, caller.organisationId),
  };
}

/** The kind under which the trail keeps that a trial letter was sent. */
const TRIAL = 'trial_letter';

function wordsIn({ becomes }: OrganisationChange): string {
  const said = JSON.parse(becomes ?? '{}') as { answer?: unknown };
  return typeof said.answer === 'string' ? said.answer : '';
}

async function asker({ store }: Context, { self }: Caller): Promise<PersonRow | null> {
  return self === undefined ? null : findPerson(store.sql, self.personId);
}

async function addressOf(context: Context, caller: Caller): Promise<string | null> {
  return (await asker(context, caller))?.email ?? null;
}

/**
 * Sends a trial letter to whoever asks, the way that all letters go, outside any transaction, and notes
 * what came of it. Gives the words.
 */
export async function sendTrial(
  context: Context,
  caller: Caller,
  trial: Trial,
): Promise<{ readonly sent: boolean; readonly words: string }> {
  requireRight(caller, 'manage-organisation');
  const person = await asker(context, caller);
  if (person === null) throw notFound('person');
  const { name, language } = await showOrganisation(context, caller);
  const at = context.now();
  const came = await trial(
    {
      messageId: `<${newId()}@${context.mailDomain}>`,
      date: at,
      to: { name: '', address: person.email },
      ...trialMail(person.language ?? language, name),
      headers: {},
    },
    name,
  );
  const { id: author, name: authorName } = caller.author;
  const entry = { id: newId(), organisationId: caller.organisationId, author, authorName, at };
  await context.store.writeSql((sql) => noteDeed(sql, entry, TRIAL, { answer: came.words }));
  return came;
}
