// A process that delivers until it is done or killed: compiled code, since it is started hundreds of
// times. It loads the program, says so, and waits for its turn.
const from = (name) => import(new URL(name, `file://${process.argv[2]}/dist/`).href);
const { openStore } = await from('store/database/open-store.js');
const { smtpSender } = await from('mail/sender.js');
const { deliverLetters } = await from('usecases/delivery/deliver-letters.js');

process.once('disconnect', () => process.exit(1));
process.once('message', ({ databaseUrl, smtpUrl, now }) => {
  void deliver(databaseUrl, smtpUrl, now).then(
    () => process.exit(0),
    () => process.exit(1),
  );
});
process.send('loaded');

async function deliver(databaseUrl, smtpUrl, now) {
  const store = await openStore(databaseUrl);
  process.send('open');
  const sender = smtpSender({ url: smtpUrl });
  const context = {
    store,
    now: () => now,
    publicUrl: 'https://care.example.org',
    mailDomain: 'example.org',
  };
  await deliverLetters(context, sender, {
    mailFrom: { name: 'Foldkeep', address: 'care@example.org' },
  });
  await sender.close();
  await store.close();
}
