import { tryKeptValues } from './kept-values.ts';

tryKeptValues({ sqlite: 25, postgresql: 6 });
