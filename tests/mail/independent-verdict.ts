import { dkimVerify } from 'mailauth/lib/dkim/verify.js';
import type { DkimKey } from '../../src/mail/dkim.ts';
import { dnsRecords } from '../../src/mail/dns-records.ts';

/** The verdict of an independent DKIM verifier that finds our record in the DNS, on every signature. */
export async function independentVerdict(message: Buffer, key: DkimKey): Promise<string> {
  const [record] = dnsRecords({ ...key, mailFrom: 'care@example.org' });
  const { results } = await dkimVerify(message, {
    resolver: (name: string) => Promise.resolve(name === record?.name ? [[...record.strings]] : []),
  });
  return results.map(({ status }: { status: { result: string } }) => status.result).join();
}
