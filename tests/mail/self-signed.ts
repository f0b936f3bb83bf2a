import { generateKeyPairSync, sign } from 'node:crypto';

/** One DER element: tag, length, content. */
function der(tag: number, ...parts: readonly Buffer[]): Buffer {
  const content = Buffer.concat(parts);
  const size = content.length;
  const length = size < 128 ? [size] : size < 256 ? [0x81, size] : [0x82, size >> 8, size & 255];
  return Buffer.concat([Buffer.from([tag, ...length]), content]);
}

const sequence = (...parts: readonly Buffer[]): Buffer => der(0x30, ...parts);
const oid = (hex: string): Buffer => der(0x06, Buffer.from(hex, 'hex'));
const generalizedTime = (text: string): Buffer => der(0x18, Buffer.from(text));

/**
 * A certificate for `localhost` that nobody vouches for, with its key, both in PEM and made anew
 * each time: no private key lies in the repository. X.509 version 1 (RFC 5280 section 4.1).
 */
export function selfSigned(): { cert: string; key: string } {
  const { privateKey, publicKey } = generateKeyPairSync('rsa', { modulusLength: 2048 });
  const sha256WithRsa = sequence(oid('2a864886f70d01010b'), der(0x05));
  const commonName = sequence(oid('550403'), der(0x0c, Buffer.from('localhost')));
  const name = sequence(der(0x31, commonName));
  const body = sequence(
    der(0x02, Buffer.from([1])),
    sha256WithRsa,
    name,
    sequence(generalizedTime('20200101000000Z'), generalizedTime('21200101000000Z')),
    name,
    publicKey.export({ type: 'spki', format: 'der' }),
  );
  const signature = der(0x03, Buffer.from([0]), sign('sha256', body, privateKey));
  const base64 = sequence(body, sha256WithRsa, signature).toString('base64');
  const lines = base64.match(/.{1,64}/g)?.join('\n') ?? '';
  return {
    cert: `-----BEGIN CERTIFICATE-----\n${lines}\n-----END CERTIFICATE-----\n`,
    key: privateKey.export({ type: 'pkcs8', format: 'pem' }).toString(),
  };
}
