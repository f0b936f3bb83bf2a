export type { Work } from '../../store/watch/watch.ts';
export { watched, WORK } from '../../store/watch/watch.ts';
