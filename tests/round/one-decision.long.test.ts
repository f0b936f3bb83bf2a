import { tryOneDecision } from './one-decision.ts';

tryOneDecision(12);
