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
const { maxRSS } = process.resourceUsage();
process.stdout.write(JSON.stringify({ record, idle, most: maxRSS * 1024 }), () => process.exit(0));
