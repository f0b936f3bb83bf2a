import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

const TESTS = fileURLToPath(new URL('..', import.meta.url));

// `vitest.config.ts` finds the files whose suites run on PostgreSQL by this word in them.
it('suites of every database stand in test files, where the project postgresql finds them', () => {
  const files = readdirSync(TESTS, { recursive: true, encoding: 'utf8' });
  const calling = files.filter(
    (file) =>
      file.endsWith('.ts') && /eachDatabase\(/.test(readFileSync(`${TESTS}${file}`, 'utf8')),
  );
  const elsewhere = calling.filter((file) => !file.endsWith('.test.ts'));
  expect(elsewhere).toEqual(['setup/databases.ts']);
  expect(calling.filter((file) => file.endsWith('.long.test.ts'))).toEqual([]);
  expect(calling.length).toBeGreaterThan(40);
});
