/** A DNS record to publish, or one to look at, with the reason in plain words. */
export interface DnsRecord {
  readonly purpose: 'dkim' | 'spf' | 'dmarc';
  readonly name: string;
  readonly type: 'TXT';
  /** The whole value. */
  readonly value: string;
  /** The value in pieces of at most 255 octets, as a zone file quotes them (RFC 1035 3.3). */
  readonly strings: readonly string[];
  readonly words: string;
}

const LONGEST_STRING = 255;

function record(purpose: DnsRecord['purpose'], name: string, value: string, words: string) {
  const strings: string[] = [];
  for (let at = 0; at < value.length; at += LONGEST_STRING) {
    strings.push(value.slice(at, at + LONGEST_STRING));
  }
  return { purpose, name, type: 'TXT', value, strings, words } as const;
}

/**
 * The records that let receivers trust the letters: DKIM (RFC 6376 section 3.6.1), and advice for
 * SPF (RFC 7208) and DMARC (RFC 7489). `publicKey` is SPKI in base64; `mailFrom` the address in
 * From; `returnPath` the domain of the envelope sender where it differs.
 */
export function dnsRecords(of: {
  readonly domain: string;
  readonly selector: string;
  readonly publicKey: string;
  readonly mailFrom: string;
  readonly returnPath?: string;
}): DnsRecord[] {
  const from = of.mailFrom.slice(of.mailFrom.lastIndexOf('@') + 1).replace(/>$/, '');
  return [
    record(
      'dkim',
      `${of.selector}._domainkey.${of.domain}`,
      `v=DKIM1; k=rsa; p=${of.publicKey}`,
      'the public half of the signing key; publish it as it stands',
    ),
    spfRecord(of.returnPath ?? from),
    dmarcRecord(from),
  ];
}

/** SPF for the domain of the return path. What sends for it only its owner knows: "mx" is a guess. */
export function spfRecord(domain: string): DnsRecord {
  return record(
    'spf',
    domain,
    'v=spf1 mx ~all',
    'right only if the servers in the MX records also send; else put in what your mail provider ' +
      'names. One SPF record a domain: if there is one already, widen it and add no second',
  );
}

/** DMARC for the domain in From, in the mode that only watches. */
export function dmarcRecord(domain: string): DnsRecord {
  return record(
    'dmarc',
    `_dmarc.${domain}`,
    'v=DMARC1; p=none',
    'asks for nothing yet, and is what large mailbox providers want to see at least',
  );
}
