import { tryHistories } from './try-histories.ts';

// A first look; `never-told-to-move.long.test.ts` tries thirty times as many, on both databases.
tryHistories({ sqlite: { histories: 1, stays: 2, alone: 0 } });
