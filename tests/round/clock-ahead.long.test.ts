import { bothDatabases } from '../setup/databases.ts';
import { tryClockAhead } from './clock-ahead.ts';

bothDatabases('a clock that was wrong while rounds were held', (databases) =>
  tryClockAhead(databases, [-400, 3]),
);
