import { eachDatabase } from '../setup/databases.ts';
import { tryClockAhead } from './clock-ahead.ts';

// A clock that is behind, and one by little, are `clock-ahead.long.test.ts`.
eachDatabase('a clock that was wrong while rounds were held', (databases) =>
  tryClockAhead(databases, [400]),
);
