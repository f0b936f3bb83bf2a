import type { DatabaseTemplates } from './database-templates.ts';

let inUse: DatabaseTemplates | null = null;

/** From now on new databases are copies of these, instead of being migrated each by itself. */
export function useTemplates(made: DatabaseTemplates): void {
  inUse = made;
}

/** What new databases are copies of; null outside a run of the suite. */
export function templates(): DatabaseTemplates | null {
  return inUse;
}

/** The same where there is no doing without. */
export function neededTemplates(): DatabaseTemplates {
  if (inUse === null)
    throw new Error('templates of databases are made by a run of the suite alone');
  return inUse;
}
