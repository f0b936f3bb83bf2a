import { tryHistories } from './try-histories.ts';

// A first look; `never-told-to-move.long.test.ts` tries five times as many.
tryHistories({
  sqlite: { histories: 6, stays: 6, alone: 0 },
  postgresql: { histories: 2, stays: 1, alone: 0 },
});
