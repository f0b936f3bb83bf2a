import { tryHistories } from './try-histories.ts';

tryHistories({
  sqlite: { histories: 30, stays: 60, alone: 3 },
  postgresql: { histories: 6, stays: 8, alone: 0 },
});
