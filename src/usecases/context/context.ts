import type { Instant } from '../../domain/calendar/instant.ts';
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
  readonly author: Author;
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
export function mayReadLinks({ scope }: Caller): boolean {
  return scope === 'full';
}

/** `full` may do everything, `read` changes nothing, `log` may only log positions and read them. */
export const SCOPES = ['full', 'read', 'log'] as const;
export type Scope = (typeof SCOPES)[number];
