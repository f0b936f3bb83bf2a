/** How letters leave, as the entrances may name it. */
export type { Sender } from '../../mail/sender.ts';
