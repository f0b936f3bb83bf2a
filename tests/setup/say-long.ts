import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Reporter, TestModule } from 'vitest/node';

const TESTS = fileURLToPath(new URL('..', import.meta.url));

/** Says after a run without them that there are long files, and how they are run. */
export default class SayLong implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    if (modules.some(({ project }) => project.name === 'long')) return;
    const files = readdirSync(TESTS, { recursive: true, encoding: 'utf8' });
    const long = files.filter((file) => file.endsWith('.long.test.ts')).sort();
    process.stdout.write(
      `${long.length} long files did not run (fault runs, simulations, Postfix): npm run test:long\n${long
        .map((file) => `  tests/${file}\n`)
        .join('')}`,
    );
  }
}
