/** Whether a fault is that of the database and no deed's, as the entrances may ask it. */
export type { Outage } from '../../store/database/outage.ts';
export { outageOf } from '../../store/database/outage.ts';
