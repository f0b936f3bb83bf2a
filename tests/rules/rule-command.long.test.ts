import { execFile } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const path = (name: string) => fileURLToPath(new URL(`../../${name}`, import.meta.url));

/** The program as a user starts it, in a folder of its own. */
function spawn(args: string[], input: string) {
  const folder = mkdtempSync(join(tmpdir(), 'foldkeep-rule-'));
  return new Promise<{ code: number; out: string; err: string; left: string[] }>((resolve) => {
    const child = execFile(
      process.execPath,
      ['--import', import.meta.resolve('tsx'), path('src/main.ts'), ...args],
      { cwd: folder },
      (fault, out, err) => {
        const left = readdirSync(folder);
        rmSync(folder, { recursive: true });
        resolve({ code: Number(fault?.code ?? 0), out, err, left });
      },
    );
    child.stdin?.end(input);
  });
}

describe('foldkeep rule, started', () => {
  it('prints JSON alone, says the sum on standard error, and opens no records', async () => {
    const input = '{"thread": "M6", "diametersMm": [6.9, 6.6], "use": "fixing"}';
    const { code, out, err, left } = await spawn(['rule', 'hole', '--explain'], input);
    expect(code).toBe(0);
    expect(JSON.parse(out)).toMatchObject({ verdict: 'watch', largestMm: 6.9 });
    expect(err).toContain('0.9 mm of play on M6: within coarse 7');
    expect(left).toEqual([]);
  }, 90_000);

  it('ends with 2 and names the field where it cannot take the input', async () => {
    const { code, out, err } = await spawn(['rule', 'due-days'], '{"anchor": "2023-02-29"}');
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain('#/anchor: Give a calendar day that exists');
  }, 90_000);
});
