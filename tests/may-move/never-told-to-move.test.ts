import { tryHistories } from './try-histories.ts';

// A first look; `never-told-to-move.long.test.ts` tries ten times as many, on both databases.
tryHistories({ sqlite: { histories: 3, stays: 2, alone: 0 } });
