import { tryBothWays } from './both-ways.ts';

// A first look; `both-ways.long.test.ts` tries eight times as many bodies.
tryBothWays(3);
