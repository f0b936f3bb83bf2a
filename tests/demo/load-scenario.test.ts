import { DAY, tryScenarioAt } from './loaded-at.ts';

// `load-scenario.long.test.ts` has a leap day, the last night of a year, PostgreSQL and a load that breaks off.
tryScenarioAt(DAY);
