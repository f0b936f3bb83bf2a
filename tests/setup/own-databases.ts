import { inject } from 'vitest';
import { copyFrom } from './fresh-sqlite.ts';

const { folder, sqliteFile } = inject('databaseTemplates');
// What a test leaves behind goes with the run.
process.env['TMPDIR'] = folder;
copyFrom(sqliteFile);
