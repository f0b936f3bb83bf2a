import { kindOf } from './crawl.ts';
import { tryGermanPages } from './german-pages.ts';

tryGermanPages({ ofAKind: 4, everyFault: 1, kindOf });
