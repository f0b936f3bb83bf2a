import { tryKeptValues } from './kept-values.ts';

// A first look; `kept-values.long.test.ts` tries eight times as many, and PostgreSQL.
tryKeptValues({ sqlite: 3, postgresql: 0 });
