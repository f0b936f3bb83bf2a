import { tryGermanPages } from './german-pages.ts';

tryGermanPages({ ofAKind: 4, everyFault: 1 });
