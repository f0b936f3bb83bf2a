import { copyFileSync, existsSync, mkdirSync, mkdtempSync, renameSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { openStore } from '../../src/store/database/open-store.ts';
import { loadScenario } from '../../src/usecases/scenario/load-scenario.ts';
import { neededTemplates } from './templates-in-use.ts';
import type { Workshop } from './workshop.ts';
import { openWorkshop } from './workshop.ts';

const LOOKS_EACH_MS = 100;

/**
 * The address of a new SQLite file in this folder that has the demo's scenario as it is loaded at this
 * instant. Loading takes seconds: it is done once a run, by whichever process asks first.
 */
export async function loadedScenario(folder: string, now: string): Promise<string> {
  const file = join(folder, 'scenario.db');
  copyFileSync(await templateAt(now), file);
  return `file:${file}`;
}

/** A workshop over such a file. */
export async function workshopOfScenario(now: string): Promise<Workshop> {
  return openWorkshop(now, await loadedScenario(mkdtempSync(join(tmpdir(), 'foldkeep-')), now));
}

async function templateAt(now: string): Promise<string> {
  const { folder, sqliteFile } = neededTemplates();
  const name = `scenario-${now.replaceAll(/\W/g, '')}`;
  const template = join(folder, `${name}.db`);
  const making = join(folder, `${name}.making`);
  while (!existsSync(template)) {
    if (!isMine(making)) {
      await wait(LOOKS_EACH_MS);
      continue;
    }
    try {
      const file = join(making, 'records.db');
      copyFileSync(sqliteFile, file);
      const store = await openStore(`file:${file}`);
      const context = {
        store,
        now: () => now,
        publicUrl: 'https://care.example.org',
        mailDomain: 'example.org',
      };
      try {
        await loadScenario(context);
      } finally {
        await store.close();
      }
      renameSync(file, template);
    } finally {
      rmSync(making, { recursive: true, force: true });
    }
  }
  return template;
}

/** Whether this process is the one that makes what the folder is for. */
function isMine(folder: string): boolean {
  try {
    mkdirSync(folder);
    return true;
  } catch (fault) {
    if ((fault as { code?: string }).code === 'EEXIST') return false;
    throw fault;
  }
}
