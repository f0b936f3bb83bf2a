import { faultOf } from './smtp-outcome.ts';
import type { SmtpFault } from './smtp-outcome.ts';

/** What is known about a fault of the system, by its code, and what to look at. */
const SYSTEM: Readonly<Record<string, string>> = {
  ECONNREFUSED: 'nothing listens there; check host and port, and whether the mail server runs',
  EHOSTUNREACH: 'no way leads there; check the host and the network',
  ENETUNREACH: 'no way leads there; check the network',
  ENOTFOUND: 'the host name is unknown; check its spelling and the name server',
  EAI_AGAIN: 'the name server does not answer; check the network',
  ECONNRESET: 'the server cut the line; perhaps the port wants smtps:// instead of smtp://',
  CERT_HAS_EXPIRED: 'the server’s certificate has run out',
  DEPTH_ZERO_SELF_SIGNED_CERT: 'the server’s certificate is self-signed; nobody vouches for it',
  SELF_SIGNED_CERT_IN_CHAIN: 'the server’s certificate is vouched for by an unknown authority',
  UNABLE_TO_VERIFY_LEAF_SIGNATURE: 'the server does not send its whole chain of certificates',
  ERR_TLS_CERT_ALTNAME_INVALID: 'the certificate is for another host name; use that name',
  ERR_SSL_WRONG_VERSION_NUMBER: 'the server does not speak TLS at once; use smtp:// for this port',
  EPROTO: 'the server does not speak TLS at once; use smtp:// for this port',
};

/** A fault of the connection, the encryption or the login, in plain words with what to do. */
export function connectionWords(thrown: unknown): string {
  const fault = faultOf(thrown);
  const said = fault.response === '' ? '' : ` (it said: ${fault.response.replace(/\s+/g, ' ')})`;
  return `${reason(fault)}${said}`;
}

function reason(fault: SmtpFault): string {
  if (fault.code === 'EAUTH' || fault.code === 'ENOAUTH') {
    return fault.response === ''
      ? 'the server offers no login that this program knows'
      : 'the server refuses user and password';
  }
  const system = SYSTEM[fault.originalCode] ?? certificateWords(fault.message);
  if (system !== null) return system;
  switch (fault.code) {
    case 'EDNS':
      return 'the host name cannot be looked up; check its spelling and the name server';
    case 'ETIMEDOUT':
      return /greeting/i.test(fault.message)
        ? 'it took the connection but said nothing; perhaps the port wants smtps://'
        : 'no answer in time; check host, port and firewall';
    case 'ETLS':
      return fault.response === ''
        ? 'encryption could not be set up'
        : 'the server offers no encryption; for a server of your own net add ?requireTls=false';
    case 'ECONNECTION':
      return 'the server closed the line; perhaps it does not welcome this machine';
    case 'EPROTOCOL':
      return 'the server turned us away';
    default:
      return `it did not work (${fault.code || fault.message})`;
  }
}

function certificateWords(message: string): string | null {
  if (/self-signed/i.test(message)) return SYSTEM['DEPTH_ZERO_SELF_SIGNED_CERT'] ?? null;
  if (/certificate has expired/i.test(message)) return SYSTEM['CERT_HAS_EXPIRED'] ?? null;
  if (/altnames/i.test(message)) return SYSTEM['ERR_TLS_CERT_ALTNAME_INVALID'] ?? null;
  return null;
}
