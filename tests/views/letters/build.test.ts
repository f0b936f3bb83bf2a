import { execFileSync, spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../../../', import.meta.url));
let copy = '';

beforeEach(() => {
  copy = mkdtempSync(join(tmpdir(), 'letters-'));
  cpSync(join(root, 'templates'), join(copy, 'templates'), { recursive: true });
  symlinkSync(join(root, 'node_modules'), join(copy, 'node_modules'));
});

afterEach(() => rmSync(copy, { recursive: true }));

const build = () =>
  spawnSync('node', [join(copy, 'templates/build.mjs'), '--texts'], { encoding: 'utf8' });
const letter = (name: string) => join(copy, 'templates/letters', name);

describe('building the letters', () => {
  it('is done: the compiled letters are those of the sources', () => {
    execFileSync('node', [join(copy, 'templates/build.mjs'), '--texts']);
    for (const name of ['folded-over.html.eta', 'folded-over.txt.eta', 'visit-report.html.eta']) {
      const ours = readFileSync(join(root, 'templates/compiled', name), 'utf8');
      expect(readFileSync(join(copy, 'templates/compiled', name), 'utf8')).toBe(ours);
    }
  });

  it('writes the style into the tags, whatever branch they stand in', () => {
    const html = readFileSync(join(root, 'templates/compiled/lubrication-due.html.eta'), 'utf8');
    const classes = [...html.matchAll(/<(?!\/)[a-z]\w* [^>]*class="[^"]*"(?:[^>%]|%(?!>)|%>)*?>/g)];
    expect(classes.length).toBeGreaterThan(20);
    expect(classes.filter(([tag]) => !/style="/.test(tag)).map(([tag]) => tag)).toEqual([]);
  });

  it('fails at a phrase that a language lacks', () => {
    const path = letter('words/de.json');
    const words = readFileSync(path, 'utf8');
    writeFileSync(path, words.replace('"heading.why"', '"heading.what"'));
    const { status, stderr } = build();
    expect(status).not.toBe(0);
    expect(stderr).toContain('words/de.json lacks "heading.why"');
  });

  it('fails at a part that does not exist', () => {
    writeFileSync(letter('care-note.txt.eta'), '@include nowhere\n');
    const { status, stderr } = build();
    expect(status).not.toBe(0);
    expect(stderr).toContain('nowhere.txt.eta');
  });
});
