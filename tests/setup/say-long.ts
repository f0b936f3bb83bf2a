import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Reporter, TestModule } from 'vitest/node';

const LATER = new Set(['long', 'postgresql', 'properties']);
const TESTS = fileURLToPath(new URL('..', import.meta.url));

/** Says after a run without them how many long files there are, and how they are run. */
export default class SayLong implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    if (modules.some(({ project }) => LATER.has(project.name))) return;
    const files = readdirSync(TESTS, { recursive: true, encoding: 'utf8' });
    const long = files.filter((file) => file.endsWith('.long.test.ts')).sort();
    const names = long.map((file) => `  tests/${file}`).join('\n');
    process.stdout.write(
      `${long.length} long files did not run (browsers, killed programs, outages, whole years, Postfix), nor what is tried on PostgreSQL again, nor three quarters of the runs of every property:
${names}
All of it: npm run test:long. One file: npx vitest run --project long tests/FILE. With format, lint and types: npm run check.
`,
    );
  }
}
