import type { Sender } from '../../src/mail/send-outcome.ts';
import { deliverLetters } from '../../src/usecases/delivery/deliver-letters.ts';
import type { Workshop } from '../setup/workshop.ts';

/** Lets everything leave that may leave now, through the real delivery; who got what. */
export async function deliverAll(shop: Workshop): Promise<{ subject: string; to: string }[]> {
  const left: { subject: string; to: string }[] = [];
  const sender: Sender = {
    send: async ({ subject, to }) => {
      left.push({ subject, to: to.address });
      return { kind: 'sent', response: '250 taken' };
    },
    close: async () => undefined,
  };
  await deliverLetters(shop.context, sender, {
    mailFrom: { name: 'Foldkeep', address: 'care@example.org' },
  });
  return left;
}
