import type { TableField } from './table-fields.ts';
import { FIELD_MEANINGS, TABLE_FIELDS } from './table-fields.ts';

/** Which column of a table says which field; a field that none says is absent. */
export type ColumnMap = Readonly<Partial<Record<TableField, number>>>;

/** A name of a column as it is compared: small letters and digits, accents and signs left out. */
export function plainName(name: string): string {
  return name
    .replaceAll('ß', 'ss')
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();
}

const BY_NAME = new Map<string, TableField>(
  TABLE_FIELDS.flatMap((field) => {
    const { title, alsoCalled } = FIELD_MEANINGS[field];
    return [title, ...alsoCalled].map((name): [string, TableField] => [plainName(name), field]);
  }),
);

/**
 * Guesses which column says what, by the name of each, and by its cells where only one kind of cell
 * looks so (a mail address). No column says two things, and of two that could say one the first does.
 */
export function guessColumns(
  header: readonly string[],
  rows: readonly (readonly string[])[],
): ColumnMap {
  const found: Partial<Record<TableField, number>> = {};
  const taken = new Set<number>();
  const take = (field: TableField, column: number) => {
    if (found[field] !== undefined || taken.has(column)) return;
    found[field] = column;
    taken.add(column);
  };
  for (const [column, name] of header.entries()) {
    // Its own name goes before the other names that people have for a thing.
    const field = TABLE_FIELDS.find(
      (one) => plainName(FIELD_MEANINGS[one].title) === plainName(name),
    );
    if (field !== undefined) take(field, column);
  }
  for (const [column, name] of header.entries()) {
    const field = BY_NAME.get(plainName(name));
    if (field !== undefined) take(field, column);
  }
  for (const column of header.keys()) {
    const cells = rows.map((row) => row[column] ?? '').filter((cell) => cell !== '');
    const addresses = cells.filter((cell) => /^[^\s@]+@[^\s@]+\.[^\s@]+$/.test(cell));
    if (cells.length > 0 && addresses.length * 2 > cells.length) take('email', column);
  }
  // First name and surname make the name; one of them alone is the name.
  if (found.name === undefined && found.surname !== undefined && found.firstName === undefined) {
    found.name = found.surname;
    delete found.surname;
  }
  return found;
}

/** Names a table by its columns, so that what was said of them is remembered for the next of its kind. */
export function headerName(header: readonly string[]): string {
  return header.map(plainName).join('|');
}
