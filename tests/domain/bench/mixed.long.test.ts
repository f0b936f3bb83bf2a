import { tryAgainstSolver } from './mixed.ts';

tryAgainstSolver({ bounds: 80, seasons: [1, 2, 3, 4, 5, 6] });
