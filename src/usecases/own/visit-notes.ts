/** Notes by which a shop sees, and the owner's page knows again, who told of a visit. */
export const OWNER_TOLD = 'Told by the owner on the owner’s page; nothing was measured.';

/** Notes by which a shop sees that an oiling was named by a table that it brought along. */
export const TABLE_TOLD = 'From a table of cars; what was found at the pivots is not on record.';

/** The notes of visits that were told of, and not held by the diary. */
export const TOLD_NOTES: readonly string[] = [OWNER_TOLD, TABLE_TOLD];
