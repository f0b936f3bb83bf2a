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

// A number without it would be tried as often in the suite as in the long tests, or in neither as often as it says.
it('properties say through `runs` how often they are tried', () => {
  const files = readdirSync(TESTS, { recursive: true, encoding: 'utf8' });
  const said = files
    .filter((file) => file.endsWith('.test.ts') && !file.endsWith('.long.test.ts'))
    .flatMap((file) =>
      [...readFileSync(`${TESTS}${file}`, 'utf8').matchAll(/\bnumRuns:\s*(\w+)/g)].map(
        ([, how]) => [file, how],
      ),
    );
  expect(said.filter(([, how]) => how !== 'runs')).toEqual([]);
  expect(said.length).toBeGreaterThan(30);
});
