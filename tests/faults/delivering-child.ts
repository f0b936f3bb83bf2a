import { smtpSender } from '../../src/mail/sender.ts';
import { openStore } from '../../src/store/open-store.ts';
import { deliverLetters } from '../../src/usecases/deliver-letters.ts';

/** What the parent says to let this process begin. */
export interface Go {
  readonly databaseUrl: string;
  readonly smtpUrl: string;
  readonly now: string;
}

// A process that delivers until it is done or killed. It is loaded beforehand and waits for its turn.
process.once('message', (go: Go) => {
  void deliver(go).then(
    () => process.exit(0),
    () => process.exit(1),
  );
});
process.once('disconnect', () => process.exit(1));
process.send?.('loaded');

async function deliver({ databaseUrl, smtpUrl, now }: Go): Promise<void> {
  const store = await openStore(databaseUrl);
  process.send?.('open');
  const sender = smtpSender({ url: smtpUrl });
  await deliverLetters(
    { store, now: () => now, publicUrl: 'https://care.example.org', mailDomain: 'example.org' },
    sender,
    { mailFrom: { name: 'Foldkeep', address: 'care@example.org' } },
  );
  await sender.close();
  await store.close();
}
