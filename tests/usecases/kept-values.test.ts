import { tryKeptValues } from './kept-values.ts';

// A first look; `kept-values.long.test.ts` tries six times as many.
tryKeptValues({ sqlite: 4, postgresql: 1 });
