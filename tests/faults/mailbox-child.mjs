import { existsSync, readFileSync } from 'node:fs';

// Looks into a mailbox in a process of its own, so that what it takes of memory is its own.
const [, , root, databaseUrl, imapUrl] = process.argv;
const from = (name) => import(new URL(name, `file://${root}/dist/`).href);
const { openStore } = await from('store/database/open-store.js');
const { readBounceMailbox } = await from('usecases/delivery/read-bounce-mailbox.js');

const store = await openStore(databaseUrl);
const context = {
  store,
  now: () => '2026-06-12T09:00:00.000Z',
  publicUrl: 'https://care.example.org',
  mailDomain: 'example.org',
};
const idle = process.memoryUsage().rss;
const record = await readBounceMailbox(context, imapUrl);
await store.close();
process.stdout.write(JSON.stringify({ record, idle, most: mostMemory() }), () => process.exit(0));

/** The most memory that this program ever held, in bytes. */
function mostMemory() {
  // What the kernel counts for a process on Linux begins with the peak of the one that started it.
  const own = '/proc/self/status';
  const kilobytes = existsSync(own)
    ? Number(/^VmHWM:\s+(\d+) kB$/m.exec(readFileSync(own, 'utf8'))?.[1])
    : process.resourceUsage().maxRSS;
  return kilobytes * 1024;
}
