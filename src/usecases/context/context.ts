import type { OrganisationKind } from '../../domain/organisation-kind.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Right, Role } from '../../domain/people/rights.ts';
import { hasRight } from '../../domain/people/rights.ts';
import { Refused } from '../../domain/refusal.ts';
import type { Store } from '../../store/database/store.ts';

/** What every use case works with. The clock is handed in, so that a test can be any day. */
export interface Context {
  readonly store: Store;
  now(): Instant;
  /** Where people reach this server, without a slash at the end; stands in the letters' links. */
  readonly publicUrl: string;
  /** The right half of the letters' Message-IDs. */
  readonly mailDomain: string;
}

/** Who asks: one organisation, through one of its keys or people. */
export interface Caller {
  readonly organisationId: string;
  readonly keyId: string;
  readonly scope: Scope;
  /** Of a person who signed in; a key has none, and may what its scope says. */
  readonly role?: Role;
  /** The session of a person who signed in. */
  readonly self?: Self;
  /** The only cars that it may speak of; all where absent. */
  readonly carIds?: readonly string[];
  readonly author: Author;
}

/** Somebody who signed in as themselves, at one browser. */
export interface Self {
  readonly personId: string;
  readonly sessionId: string;
  readonly signedInAt: Instant;
}

/** Who answers for a change. */
export interface Author {
  /** What kind of author and which: `key:ID`, `owner:ID`, `program:NAME`. */
  readonly id: string;
  /** As people are told, at the time of the change. */
  readonly name: string;
}

/** Work that a program does of its own accord, for one organisation. */
export function programCaller(organisationId: string, name: string): Caller {
  return { organisationId, keyId: name, scope: 'full', author: { id: `program:${name}`, name } };
}

/** Whether links that open an owner's page, refuse or book may be seen: they act for the owner alone. */
export function mayReadLinks(caller: Caller): boolean {
  return hasRight(caller, 'keep-owners');
}

/** Refuses whoever has not a right. */
export function requireRight(caller: Caller, right: Right): void {
  if (hasRight(caller, right)) return;
  const detail = 'You may not do this here. Ask a manager of your organisation.';
  throw new Refused({ kind: 'not-allowed', detail });
}

/** Whoever is signed in on the pages; the kind of organisation says which pages lead. */
export interface Visitor extends Caller {
  readonly kind: OrganisationKind;
  /** In which pages speak to them: a person's own, else that of the organisation. */
  readonly language: string;
}

/** `full` may do everything, `read` changes nothing, `log` may only log positions and read them. */
export const SCOPES = ['full', 'read', 'log'] as const;
export type Scope = (typeof SCOPES)[number];
