import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { REFERENCES } from '../../src/store/records/import-references.ts';

/** Every column of the models that names an owner, a car or a top: `table.column`. */
function namingColumns(): string[] {
  const models = readFileSync(new URL('../../prisma/models.prisma', import.meta.url), 'utf8');
  return [...models.matchAll(/^model \w+ \{\n([\s\S]*?)^\}/gm)].flatMap(([, body = '']) => {
    const table = /@@map\("(\w+)"\)/.exec(body)?.[1] ?? '';
    return [...body.matchAll(/^ {2}(\w*(?:owner|car|top)Id) +String\b/gim)].map(
      ([, column = '']) => `${table}.${column}`,
    );
  });
}

it('says of every column that names an owner, a car or a top what becomes of it when an import is taken back', () => {
  const naming = namingColumns();
  expect(naming).toContain('share.carId');
  expect(naming).toContain('car_tie.otherOwnerId');
  const said = REFERENCES.flatMap(({ table, columns }) =>
    Object.keys(columns).flatMap((column) => (column === 'id' ? [] : [`${table}.${column}`])),
  );
  expect(said.sort()).toEqual(naming.sort());
});
