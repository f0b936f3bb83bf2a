import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { recipientMeant } from '../../src/usecases/delivery/apply-report.ts';
import type { RecipientReport } from '../../src/mail/report-parser.ts';
import type { Workshop } from '../setup/workshop.ts';
import { openWorkshop } from '../setup/workshop.ts';
import { handIn, reportAbout, sentLetter } from './returned.ts';

let shop: Workshop;
beforeEach(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
});
afterEach(() => shop.close());

/** The samples of RFC 3464, appendix E, and RFC 5965 (published), about letters of ours. */
describe('the published samples, handed in', () => {
  it.each([
    ['delivery-transient', 'louisl@larry.slip.umd.edu', 'soft', true],
    // The reply quotes "550 user unknown", which the bare 5.0.0 leaves out.
    ['delivery-several', 'wsnell@sdcc13.ucsd.edu', 'dead', true],
    ['delivery-several', 'arathib@vnet.ibm.com', 'dead', true],
    ['delivery-several', 'johnh@hpnjld.njd.hp.com', 'none', false],
    ['delivery-several', 'somebody.else@example.org', 'none', false],
    ['delivery-gateway', 'nair@example.org', 'soft', true],
    ['complaint', 'user@example.com', 'refused', true],
  ] as const)('%s about %s: %s', async (name, address, verdict, applied) => {
    const { id, messageId } = await sentLetter(shop, address);
    const answer = await handIn(shop, await reportAbout(name, { token: id, messageId }));
    expect(answer.status).toBe(200);
    expect(answer.body).toMatchObject({
      matched: [{ letterId: id, address, verdict }],
      applied,
    });
  });
});

/** Reports that Postfix 3.7 wrote about letters of ours, with the text for people left out. */
describe('reports of a real mail server, handed in', () => {
  it.each([
    ['postfix-unknown', 'nobody@post.example.net', 'dead', true],
    // It took "550 user unknown" for 5.0.0.
    ['postfix-bare', 'plain@neighbour.example.net', 'dead', true],
    ['postfix-delayed', 'ada@away.example.net', 'none', false],
    // Given up for good under a code that says "for now".
    ['postfix-expired', 'ada@away.example.net', 'soft', true],
  ] as const)('%s about %s: %s', async (name, address, verdict, applied) => {
    const { id } = await sentLetter(shop, address);
    const answer = await handIn(shop, await reportAbout(name, { token: id }));
    expect(answer.body).toMatchObject({ matched: [{ letterId: id, address, verdict }], applied });
  });

  it('are matched by the Message-ID of the headers that they return', async () => {
    const { id, messageId } = await sentLetter(shop, 'nobody@post.example.net');
    const answer = await handIn(shop, await reportAbout('postfix-unknown', { messageId }));
    expect(answer.body).toMatchObject({ matched: [{ letterId: id, verdict: 'dead' }] });
  });
});

it('a delay that names an address and no letter is matched with none', async () => {
  await sentLetter(shop, 'thomas@de-montfort.ac.uk');
  const answer = await handIn(shop, await reportAbout('delivery-delayed', {}));
  expect(answer.body).toEqual({ kind: 'delivery', why: null, matched: [], applied: false });
});

describe('the recipient who is meant', () => {
  const one = (address: string | null, verdict: RecipientReport['verdict'], original?: string) => ({
    address,
    originalAddress: original ?? null,
    action: 'failed',
    status: null,
    diagnostic: null,
    verdict,
  });

  it('is the only one, whatever a forwarder calls it', () => {
    expect(recipientMeant([one('elsewhere@example.net', 'dead')], 'a@example.org')?.verdict).toBe(
      'dead',
    );
  });

  it('of several is the one with the address, in any case, and the mildest of those', () => {
    const several = [
      one('b@example.org', 'dead'),
      one('home@example.net', 'dead', 'A@Example.org'),
      one('work@example.net', 'none', 'a@example.org'),
    ];
    expect(recipientMeant(several, 'a@example.org')?.address).toBe('work@example.net');
    expect(recipientMeant(several, 'b@example.org')?.verdict).toBe('dead');
    expect(recipientMeant(several, 'c@example.org')).toBeNull();
  });
});
