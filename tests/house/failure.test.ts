import { execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

const server = fileURLToPath(new URL('../../prisma/embedded-postgresql.mjs', import.meta.url));

it.each([0, 3])('ends as it came to (%i) where a PostgreSQL of our own is at hand', async (end) => {
  const program = `await import(${JSON.stringify(server)}); process.exitCode = ${end};`;
  const code = await new Promise((resolve) => {
    execFile(process.execPath, ['--input-type=module', '-e', program], (fault) =>
      resolve(fault?.code ?? 0),
    );
  });
  expect(code).toBe(end);
});
