import fc from 'fast-check';
import { runs } from './runs.ts';

/** What fast-check tries where nothing else is said. */
const USUAL = 100;

fc.configureGlobal({ numRuns: runs(USUAL) });
