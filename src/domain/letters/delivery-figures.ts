import type { FigureTable, FigureValues } from '../figures/figure.ts';
import { valuesOf } from '../figures/figure.ts';

const OWN = 'chosen for this project; nobody published a figure';
const rule = (value: number, unit: string, min: number, max: number, source: string = OWN) =>
  ({ value, unit, mark: 'shop rule', source, min, max }) as const;

const wait = (value: number, source: string) =>
  ({ value, unit: 'min', mark: 'common practice, no source', source }) as const;

/** How letters leave: how many at once, how long each may take, how fast in all. */
export const DELIVERY_FIGURES = {
  parallel: rule(5, 'letters in flight; three times as many while the mail server is quick', 1, 20),
  leaseMinutes: rule(
    15,
    'min',
    12,
    60,
    'longer than the 10 min that RFC 5321 section 4.5.3.2.6 gives the answer to the final dot',
  ),
  unknownMinutes: rule(15, 'min until a letter of unknown fate is sent once more', 1, 1_440),
  resends: rule(1, 'times that a letter of unknown fate is sent once more', 0, 1),
  alarmResends: rule(4, 'times that an alarm of unknown fate is sent once more', 0, 12),
  stoppedSeconds: rule(45, 's without a heartbeat, then a process counts as dead', 20, 600),
  deadMinutes: rule(1, 'min until a letter that a dead process had ended is sent once more', 1, 60),
  slowSeconds: rule(10, 's in flight, then other letters no longer wait for it', 2, 300),
  slowMost: rule(10, 'letters in flight that long, then none is sent beside them', 1, 10),
  slowMinutes: rule(5, 'min that letters to a domain wait of which one is that slow', 1, 60),
  settingsMinutes: rule(15, 'min that a letter waits when our settings are at fault', 1, 240),
  connectionFaults: rule(5, 'in a row without an answer, then this run stops', 1, 100),
  checkMinutes: rule(60, 'min that a letter waits whose truth could not be checked', 5, 1_440),
  wait1: wait(1, 'before the second attempt'),
  wait2: wait(5, 'before the third'),
  wait3: wait(15, 'before the fourth'),
  wait4: wait(60, 'before the fifth'),
  wait5: wait(240, 'before the sixth'),
  wait6: wait(720, 'before every later one'),
  jitter: rule(0.2, 'share of the wait, either way', 0, 0.5, 'letters that failed together part'),
  giveUpHours: rule(
    48,
    'h after the first attempt',
    4,
    120,
    'RFC 5321 section 4.5.4.1 suggests 4 to 5 days; a late reminder is worth less',
  ),
  adviceDays: rule(14, 'days after which unsent advice or an offer is out of date', 1, 60),
} as const satisfies FigureTable;

export type DeliveryFigures = FigureValues<typeof DELIVERY_FIGURES>;
export const DELIVERY_DEFAULTS: DeliveryFigures = valuesOf(DELIVERY_FIGURES);

/**
 * How fast letters leave through a mail server. A burst may leave at once after a quiet time; after
 * it, so many a minute. Per domain counts all organisations: the receiver sees one sender.
 */
export const DELIVERY_LIMITS = {
  organisationBurst: rule(600, 'letters', 1, 100_000),
  organisationPerMinute: rule(60, 'letters a minute', 1, 10_000),
  domainBurst: rule(300, 'letters', 1, 100_000),
  domainPerMinute: rule(30, 'letters a minute', 1, 10_000),
} as const satisfies FigureTable;

export type DeliveryLimitFigures = FigureValues<typeof DELIVERY_LIMITS>;
export const LIMIT_DEFAULTS: DeliveryLimitFigures = valuesOf(DELIVERY_LIMITS);
