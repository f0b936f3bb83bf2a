import {
  changeOrganisationRow,
  organisationNamed,
} from '../../store/organisations/organisation-rows.ts';
import { lettersWaiting } from '../../store/letters/letter-lists.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import { Refused } from '../../domain/refusal.ts';
import { cancelLetters } from '../../store/letters/letter-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { flag, isTaken } from '../../store/database/sql.ts';
import type { Caller, Context } from '../context/context.ts';
import type { OrganisationRow } from '../../store/organisations/organisation-rows.ts';
import { holdOrganisation, reconsiderAll, retellAllVisits } from './hold-organisation.ts';
import type { OrganisationKind } from '../../domain/organisation-kind.ts';
import type { OrganisationRecord } from '../organisations/organisations.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import { requireVersion } from '../context/version.ts';

export interface OrganisationChange {
  readonly name?: string | undefined;
  readonly kind?: OrganisationKind | undefined;
  readonly timeZone?: string | undefined;
  readonly language?: string | undefined;
  readonly postalAddress?: string | null | undefined;
  readonly phone?: string | null | undefined;
  readonly email?: string | null | undefined;
  readonly logo?: string | null | undefined;
  readonly letterHours?: { readonly from: number; readonly to: number } | undefined;
  readonly nightAlarms?: boolean | undefined;
  readonly dailyMail?: boolean | undefined;
}

// Whom a letter comes from and whom to ring: old words of these would lead its reader astray.
const IN_EVERY_LETTER = ['name', 'kind', 'phone', 'postalAddress'] as const;

/**
 * Changes the organisation of the caller. Where the hours of its letters change, those that wait for
 * their hour are cancelled and written anew for the new ones; where its name, kind, telephone or address
 * changes, all that wait, but for letters that were typed for all members.
 */
export async function changeOrganisation(
  context: Context,
  caller: Caller,
  change: OrganisationChange,
  version: number | '*' | null,
): Promise<OrganisationRecord> {
  const now = context.now();
  await takingName(() =>
    context.store.writeSql(async (sql) => {
      const { organisation: before, carIds } = await holdOrganisation(sql, caller.organisationId);
      requireVersion(version, before.version);
      const next = merged(before, change);
      if (next.name !== before.name) await refuseTakenName(sql, next.name);
      await changeOrganisationRow(sql, before, next);
      const otherHours =
        next.letterHours !== before.letterHours || next.nightAlarms !== flag(before.nightAlarms);
      if (otherHours) await cancelWaiting(sql, before.id, now);
      const otherWords = IN_EVERY_LETTER.some((column) => next[column] !== before[column]);
      if (otherHours || otherWords) await reconsiderAll(sql, carIds, now, () => otherWords);
      if (otherWords) await retellAllVisits(context, sql, before.id, now);
    }),
  );
  return showOrganisation(context, caller);
}

function merged(before: OrganisationRow, change: OrganisationChange) {
  const { letterHours: hours } = change;
  const kept = <T>(value: T | undefined, old: T): T => (value === undefined ? old : value);
  return {
    name: change.name ?? before.name,
    kind: change.kind ?? before.kind,
    timeZone: change.timeZone ?? before.timeZone,
    language: change.language ?? before.language,
    postalAddress: kept(change.postalAddress, before.postalAddress),
    phone: kept(change.phone, before.phone),
    email: kept(change.email, before.email),
    logo: kept(change.logo, before.logo),
    letterHours: hours === undefined ? before.letterHours : `${hours.from}-${hours.to}`,
    nightAlarms: change.nightAlarms ?? flag(before.nightAlarms),
    dailyMail: change.dailyMail ?? flag(before.dailyMail),
  };
}

async function refuseTakenName(sql: Sql, name: string): Promise<void> {
  const taken = await organisationNamed(sql, name);
  if (taken !== null) throw nameTaken();
}

/** Of two who take the same name at the same instant, only the database sees both. */
async function takingName(work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (fault) {
    throw isTaken(fault) ? nameTaken() : fault;
  }
}

function nameTaken(): Refused {
  const detail = 'There is another organisation of this name. Choose another.';
  return new Refused({ kind: 'conflict', detail, faults: [{ pointer: '#/name', detail }] });
}

/** Letters about work in hand are not written again by a round, so they keep the hour they have. */
async function cancelWaiting(sql: Sql, organisationId: string, at: Instant): Promise<void> {
  const waiting = await lettersWaiting(sql, organisationId, at);
  for (let start = 0; start < waiting.length; start += LETTERS_AT_ONCE) {
    const ids = waiting.slice(start, start + LETTERS_AT_ONCE);
    await cancelLetters(sql, ids, 'the hours of letters were changed', at);
  }
}

const LETTERS_AT_ONCE = 500;
