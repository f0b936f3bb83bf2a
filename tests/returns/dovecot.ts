import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { BOX_USER } from './postfix.ts';

export interface DovecotPlan {
  /** Where its settings, sockets and log lie. */
  readonly folder: string;
  readonly port: number;
  readonly tls: { readonly cert: string; readonly key: string };
  /** A folder of maildirs, each named like its user. */
  readonly boxes: string;
  /** The one password of all users. */
  readonly password: string;
}

/** The settings of a Dovecot of our own that serves maildirs over IMAP with TLS, on loopback only. */
export async function layOutDovecot(plan: DovecotPlan): Promise<void> {
  const { folder } = plan;
  for (const name of ['', 'run', 'state']) await mkdir(join(folder, name));
  const settings = `
base_dir = ${join(folder, 'run')}
state_dir = ${join(folder, 'state')}
log_path = ${join(folder, 'mail.log')}
protocols = imap
listen = 127.0.0.1
ssl = required
ssl_cert = <${plan.tls.cert}
ssl_key = <${plan.tls.key}
mail_location = maildir:${plan.boxes}/%n
first_valid_uid = 1
first_valid_gid = 1
passdb {
  driver = static
  args = password=${plan.password}
}
userdb {
  driver = static
  args = uid=${BOX_USER} gid=${BOX_USER} home=${plan.boxes}/%n allow_all_users=yes
}
# Whoever gave a wrong password is made to wait otherwise, and all on loopback with them.
auth_failure_delay = 0
service anvil {
  unix_listener anvil-auth-penalty {
    mode = 0
  }
}
service imap-login {
  inet_listener imap {
    port = 0
  }
  inet_listener imaps {
    port = ${plan.port}
    ssl = yes
  }
}
`;
  await writeFile(join(folder, 'dovecot.conf'), settings);
}
