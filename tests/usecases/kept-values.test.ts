import { tryKeptValues } from './kept-values.ts';

// A first look; `kept-values.long.test.ts` tries a dozen times as many, and PostgreSQL.
tryKeptValues({ sqlite: 2, postgresql: 0 });
