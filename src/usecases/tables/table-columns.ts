import type { TableField } from '../../domain/tables/table-fields.ts';
import { FIELD_MEANINGS, TABLE_FIELDS } from '../../domain/tables/table-fields.ts';
import type { TableRow } from '../../store/records/export-rows.ts';

/** A field that a line of the records has, too: first name and surname are one there. */
export type StoredField = Exclude<TableField, 'firstName' | 'surname'> & keyof TableRow;

function isStored(field: TableField): field is StoredField {
  return field !== 'firstName' && field !== 'surname';
}

/** The columns of a table of cars as an export writes them, in its order. */
export const COLUMNS: readonly { readonly name: string; readonly column: StoredField }[] =
  TABLE_FIELDS.filter(isStored).map((column) => ({ name: FIELD_MEANINGS[column].title, column }));
