import { tryOneDecision } from './one-decision.ts';

// A first look; `one-decision.long.test.ts` tries four times as many.
tryOneDecision(3);
