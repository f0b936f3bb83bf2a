import { tryBothWays, tryMakers } from './both-ways.ts';

tryBothWays(25);
tryMakers(25);
