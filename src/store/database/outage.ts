/** Why a database could do nothing for anybody, whatever it was asked. */
export type Outage = 'unreachable' | 'full' | 'damaged';

/**
 * Whether a fault is the database's own, not that of what it was asked; null where it is not. Drivers
 * wrap what the database said in faults of their own, so the causes are looked through too.
 */
export function outageOf(fault: unknown): Outage | null {
  const found = saidIn(fault, 0).flatMap((said) =>
    SIGNS.filter(([, sign]) => sign.test(said)).map(([outage]) => outage),
  );
  return ORDER.find((outage) => found.includes(outage)) ?? null;
}

const ORDER: readonly Outage[] = ['damaged', 'full', 'unreachable'];

// Codes of SQLite, of PostgreSQL (appendix A: 08, 40, 53, 57, 58, XX), of Prisma (P1xxx, P2024, P2028) and
// of the operating system, and the names that Prisma's adapters give to a line that broke.
const SIGNS: readonly (readonly [Outage, RegExp])[] = [
  ['damaged', /^SQLITE_(?:CORRUPT|NOTADB)|database disk image is malformed|^XX00[12]$/],
  ['full', /^SQLITE_FULL|^53[14]00$|^ENOSPC$|database or disk is full|No space left on device/i],
  [
    'unreachable',
    /^SQLITE_(?:BUSY|IOERR|CANTOPEN|READONLY|PROTOCOL)|^08|^53300$|^57P0[1235]$|^58030$|^25P03$|^40(?:001|P01)$|^P(?:1001|1002|1008|1017|2024|2028|2034)$|^(?:ECONNREFUSED|ECONNRESET|EPIPE|ETIMEDOUT|ENOTFOUND|EHOSTUNREACH|EAI_AGAIN|EIO)$|^(?:ConnectionClosed|DatabaseNotReachable|SocketTimeout|TooManyConnections)$|connection (?:terminated|ended|closed)|terminating connection|database system is (?:starting|shutting)|not queryable|cannot use a pool after/i,
  ],
];

const DEEPEST = 6;

function saidIn(fault: unknown, depth: number): string[] {
  if (typeof fault !== 'object' || fault === null || depth > DEEPEST) return [];
  const said = fault as Readonly<Record<string, unknown>>;
  const own = [said['code'], said['originalCode'], said['message'], said['originalMessage']];
  const inner = [said['cause'], said['meta'], said['driverAdapterError'], said['errors']];
  return [
    ...own.filter((word) => typeof word === 'string'),
    ...inner.flat().flatMap((one) => saidIn(one, depth + 1)),
  ];
}
