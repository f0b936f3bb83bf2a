import type { DnsRecord } from './dns-records.ts';
import type { MailFinding } from './mail-check.ts';

/** Asks the DNS for TXT records, as `node:dns/promises` does. */
export type AskTxt = (name: string) => Promise<string[][]>;

/**
 * Whether the records that make receivers trust the letters stand in the DNS, and what to do where
 * they do not. Each is looked for where the settings say that letters come from.
 */
export async function* checkRecords(
  records: readonly DnsRecord[],
  ask: AskTxt,
): AsyncGenerator<MailFinding> {
  for (const record of records) {
    const found = await valuesAt(record.name, ask);
    if (found === null) {
      yield {
        level: 'advice',
        words: `the DNS did not answer for ${record.name}: look again later`,
      };
    } else yield { ...LOOKS[record.purpose](record, found) };
  }
}

async function valuesAt(name: string, ask: AskTxt): Promise<string[] | null> {
  try {
    return (await ask(name)).map((parts) => parts.join(''));
  } catch (fault) {
    const code = fault instanceof Error && 'code' in fault ? fault.code : null;
    return code === 'ENOTFOUND' || code === 'ENODATA' ? [] : null;
  }
}

const LOOKS = { dkim: lookAtDkim, spf: lookAtSpf, dmarc: lookAtDmarc } as const;

const publish = ({ name, value }: DnsRecord) => `Publish the TXT record ${name} "${value}".`;

/** RFC 6376 section 3.6.1: the key is in `p=`; an empty one is revoked. */
function lookAtDkim(record: DnsRecord, found: readonly string[]): MailFinding {
  const keys = found.flatMap((value) => keyIn(value) ?? []);
  if (keys.length === 0) {
    return bad(`DKIM: no key at ${record.name}, so signatures fail. ${publish(record)}`);
  }
  return keys.includes(keyIn(record.value) ?? '')
    ? good(`DKIM: the key at ${record.name} is ours`)
    : bad(
        `DKIM: the key at ${record.name} is another, so signatures fail. Put ours in its place, or take a new DKIM_SELECTOR. ${publish(record)}`,
      );
}

function keyIn(value: string): string | null {
  return /(?:^|;)\s*p=([^;]*)/.exec(value)?.[1]?.replaceAll(/\s/g, '') ?? null;
}

/** RFC 7208 section 4.5: none is no statement, more than one is a permanent error. */
function lookAtSpf(record: DnsRecord, found: readonly string[]): MailFinding {
  const own = found.filter((value) => /^v=spf1(?: |$)/i.test(value));
  if (own.length > 1) {
    return bad(
      `SPF: ${record.name} has ${own.length} records, which counts as none. Make them one.`,
    );
  }
  if (own.length === 0) return bad(`SPF: none for ${record.name}. ${publish(record)}`);
  return /(?:^| )\+?all(?: |$)/i.test(own[0] ?? '')
    ? bad(`SPF: ${record.name} lets everybody send for it ("+all"). End it with "~all".`)
    : good(`SPF: ${record.name} has "${own[0]}"`);
}

/** RFC 7489 section 6.6.3: records that are not exactly one are none. */
function lookAtDmarc(record: DnsRecord, found: readonly string[]): MailFinding {
  const own = found.filter((value) => /^v=DMARC1\s*;/.test(value));
  if (own.length !== 1) {
    const what = own.length === 0 ? 'none' : `${own.length} records, which counts as none,`;
    return bad(`DMARC: ${what} at ${record.name}. ${publish(record)}`);
  }
  return /;\s*p=(?:none|quarantine|reject)\b/.test(own[0] ?? '')
    ? good(`DMARC: ${record.name} has "${own[0]}"`)
    : bad(`DMARC: the record at ${record.name} names no policy. ${publish(record)}`);
}

const good = (words: string): MailFinding => ({ level: 'ok', words });
const bad = (words: string): MailFinding => ({ level: 'fault', words });
