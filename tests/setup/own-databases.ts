import { inject } from 'vitest';
import { useTemplates } from './templates-in-use.ts';

const made = inject('databaseTemplates');
// What a test leaves behind goes with the run.
process.env['TMPDIR'] = made.folder;
useTemplates(made);
