import { execFile } from 'node:child_process';
import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { promisify } from 'node:util';

const run = promisify(execFile);

export interface PostfixPlan {
  /** Where its settings, queue, data and log lie. */
  readonly folder: string;
  readonly port: number;
  /** Certificate and key, in one PEM file each. */
  readonly tls: { readonly cert: string; readonly key: string };
  /** A folder of maildirs, and which address lands in which. */
  readonly boxes: string;
  readonly addresses: Readonly<Record<string, string>>;
  /** Domains that another mail server on loopback answers for, by its port. */
  readonly routes: Readonly<Record<string, number>>;
}

/** The user `mail`, which Debian's base system has under this number. */
export const BOX_USER = 8;

/**
 * The settings of a Postfix of our own that listens on loopback only. It takes every letter and finds
 * out afterwards whether it can be delivered, as a relay does: so it has to report. The sender
 * of what fails for now is told so at once, and it is tried again when the test says so.
 */
export async function layOutPostfix(plan: PostfixPlan): Promise<void> {
  const { folder, boxes } = plan;
  for (const name of ['', 'etc', 'queue', 'data']) await mkdir(join(folder, name));
  await run('chown', ['postfix', join(folder, 'data')]);
  const domains = new Set(Object.keys(plan.addresses).map((address) => address.split('@')[1]));
  const settings = {
    compatibility_level: '3.6',
    queue_directory: join(folder, 'queue'),
    data_directory: join(folder, 'data'),
    maillog_file: join(folder, 'mail.log'),
    maillog_file_prefixes: folder,
    myhostname: 'mx.example.org',
    mydestination: '',
    alias_maps: '',
    alias_database: '',
    inet_interfaces: 'loopback-only',
    inet_protocols: 'ipv4',
    mynetworks: '127.0.0.0/8',
    smtpd_relay_restrictions: 'permit_mynetworks, reject',
    smtpd_reject_unlisted_recipient: 'no',
    smtpd_peername_lookup: 'no',
    smtpd_tls_security_level: 'may',
    smtpd_tls_cert_file: plan.tls.cert,
    smtpd_tls_key_file: plan.tls.key,
    smtp_dns_support_level: 'disabled',
    recipient_delimiter: '+',
    virtual_mailbox_domains: [...domains].join(', '),
    virtual_mailbox_base: boxes,
    virtual_mailbox_maps: inline(
      Object.entries(plan.addresses).map(([address, box]) => [address, `${box}/`]),
    ),
    virtual_minimum_uid: '1',
    virtual_uid_maps: `static:${BOX_USER}`,
    virtual_gid_maps: `static:${BOX_USER}`,
    default_transport: 'error:5.4.4 no way to this domain is known',
    transport_maps: inline(
      Object.entries(plan.routes).map(([domain, port]) => [domain, `smtp:[127.0.0.1]:${port}`]),
    ),
    notify_classes: '',
    delay_warning_time: '1s',
    minimal_backoff_time: '1s',
    maximal_backoff_time: '1s',
    queue_run_delay: '1h',
  };
  const lines = Object.entries(settings).map(([name, value]) => `${name} = ${value}\n`);
  await writeFile(join(folder, 'etc', 'main.cf'), lines.join(''));
  await writeFile(join(folder, 'etc', 'master.cf'), services(plan.port));
}

function inline(pairs: readonly (readonly [string, string])[]): string {
  return `inline:{ ${pairs.map(([name, value]) => `{ ${name} = ${value} }`).join(', ')} }`;
}

/** service, type, private, unprivileged, chroot, wakeup, most processes, command (master(5)). */
function services(port: number): string {
  return [
    `127.0.0.1:${port} inet n - n - - smtpd`,
    'pickup unix n - n 60 1 pickup',
    'cleanup unix n - n - 0 cleanup',
    'qmgr unix n - n 300 1 qmgr',
    'tlsmgr unix - - n 1000? 1 tlsmgr',
    'rewrite unix - - n - - trivial-rewrite',
    'bounce unix - - n - 0 bounce',
    'defer unix - - n - 0 bounce',
    'trace unix - - n - 0 bounce',
    'flush unix n - n 1000? 0 flush',
    'showq unix n - n - - showq',
    'error unix - - n - - error',
    'retry unix - - n - - error',
    'proxymap unix - - n - - proxymap',
    'smtp unix - - n - - smtp',
    'virtual unix - n n - - virtual',
    'anvil unix - - n - 1 anvil',
    'scache unix - - n - 1 scache',
    'postlog unix-dgram n - n - 1 postlogd',
    '',
  ].join('\n');
}
