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

/** Who asks: one organisation, through one of its keys. */
export interface Caller {
  readonly organisationId: string;
  readonly keyId: string;
  readonly scope: Scope;
}

/** `full` may do everything, `read` changes nothing, `log` may only log positions and read them. */
export const SCOPES = ['full', 'read', 'log'] as const;
export type Scope = (typeof SCOPES)[number];
