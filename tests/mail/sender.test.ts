import { generateKeyPairSync } from 'node:crypto';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { smtpSender } from '../../src/mail/sender.ts';
import type { Sender, SmtpSenderOptions } from '../../src/mail/sender.ts';
import { sampleLetter } from './sample-letter.ts';
import { startStub } from './smtp-stub.ts';
import type { Script, Stub } from './smtp-stub.ts';

const PEM = generateKeyPairSync('rsa', {
  modulusLength: 2048,
  publicKeyEncoding: { type: 'spki', format: 'pem' },
  privateKeyEncoding: { type: 'pkcs8', format: 'pem' },
}).privateKey;

/** For a server that says nothing; every other test gives one that speaks all the time it needs. */
const QUICK = { connect: 20_000, greeting: 1_500, dns: 20_000, silence: 1_500, close: 300 };
const PATIENT = { connect: 20_000, greeting: 20_000, dns: 20_000, silence: 20_000, close: 300 };

let open: { close(): Promise<void> }[] = [];
afterEach(async () => {
  for (const thing of open.toReversed()) await thing.close();
  open = [];
});

async function house(
  script: Script,
  options: Partial<SmtpSenderOptions> = {},
): Promise<{ stub: Stub; sender: Sender }> {
  const stub = await startStub(script);
  open.push(stub);
  const sender = smtpSender({ url: stub.url, patience: PATIENT, ...options });
  open.push(sender);
  return { stub, sender };
}

/** A script that gives one answer at one step. */
const at =
  (step: string, answer: string): Script =>
  (reached) =>
    reached === step ? answer : undefined;

describe('what one attempt came to', () => {
  test('a letter taken over is sent, with the server’s own words', async () => {
    const { stub, sender } = await house(() => undefined);
    expect(await sender.send(sampleLetter())).toEqual({
      kind: 'sent',
      response: '250 2.0.0 queued as 1',
    });
    expect(stub.accepted).toEqual(['ida@example.net']);
  });

  // RFC 5321 4.2.1 for the digits, RFC 3463 sections 3.2 to 3.8 for the enhanced codes.
  test.each([
    ['RCPT', '550 5.1.1 nobody here', 'refused', 'dead'],
    ['RCPT', '550 5.1.2 no such domain', 'refused', 'dead'],
    ['RCPT', '553 5.1.3 cannot read this', 'refused', 'dead'],
    ['RCPT', '551 5.1.6 moved', 'refused', 'dead'],
    ['RCPT', '556 5.1.10 takes no mail', 'refused', 'dead'],
    ['RCPT', '550 5.2.1 closed', 'refused', 'dead'],
    ['RCPT', '552 5.2.2 full', 'refused', 'soft'],
    ['RCPT', '550 5.1.7 who are you', 'refused', 'policy'],
    ['RCPT', '550 5.1.8 your domain is not known', 'refused', 'policy'],
    ['RCPT', '550 5.7.1 not from you', 'refused', 'policy'],
    ['RCPT', '550 go away', 'refused', 'soft'],
    ['RCPT', '550 user unknown', 'refused', 'dead'],
    ['RCPT', '450 4.2.2 full', 'retry', 'soft'],
    ['RCPT', '452 too many', 'retry', 'soft'],
    ['RCPT', '450 5.1.1 look again later', 'retry', 'soft'],
    ['RCPT', '552 4.2.2 full', 'retry', 'soft'],
    ['RCPT', '421 4.3.2 shutting down', 'retry', 'none'],
    ['RCPT', '554 5.7.1 <ida@example.net>: Relay access denied', 'configuration', null],
    ['RCPT', '550 5.7.54 Unable to relay recipient', 'configuration', null],
    ['RCPT', '530 5.7.0 log in first', 'configuration', null],
    ['MAIL', '550 5.7.1 this sender is not yours', 'configuration', null],
    ['MAIL', '552 5.3.4 too large', 'refused', 'policy'],
    ['MAIL', '451 4.3.0 later', 'retry', 'none'],
    ['greeting', '554 5.7.1 blocked', 'configuration', null],
    ['greeting', '421 4.7.0 busy', 'retry', 'none'],
    ['DATA', '452 4.3.1 disk full', 'retry', 'soft'],
    ['DATA', '554 no valid recipients', 'refused', 'soft'],
    ['dot', '451 4.7.1 scanning', 'retry', 'soft'],
    ['dot', '421 4.3.0 going down', 'retry', 'none'],
    ['dot', '554 5.7.1 smells of bulk', 'refused', 'policy'],
    ['dot', '550 5.7.515 does not meet the sender rules', 'refused', 'policy'],
    ['dot', '550 5.1.1 nobody here after all', 'refused', 'dead'],
  ] as const)('%s answered "%s" is %s', async (step, answer, kind, verdict) => {
    const { stub, sender } = await house(at(step, answer));
    const outcome = await sender.send(sampleLetter());
    expect(outcome.kind).toBe(kind);
    expect('verdict' in outcome ? outcome.verdict : null).toBe(verdict);
    const ours = kind === 'configuration';
    expect('code' in outcome ? outcome.code : null).toBe(ours ? null : Number(answer.slice(0, 3)));
    const enhanced = / (\d\.\d\.\d+) /.exec(answer)?.[1] ?? null;
    expect('enhanced' in outcome ? outcome.enhanced : null).toBe(ours ? null : enhanced);
    expect(stub.accepted).toEqual([]);
  });

  // RFC 6531 section 3.2 (from memory): without SMTPUTF8 no server is bound to read such an address, so
  // its word for bad syntax (RFC 5321 4.2.2, RFC 3463 3.2) condemns nobody.
  test.each([
    ['553 5.1.3 cannot read this', 'policy', '5.6.7'],
    ['501 syntax error in parameters', 'policy', '5.6.7'],
    ['550 5.1.1 nobody here', 'dead', '5.1.1'],
    ['553 user unknown', 'dead', undefined],
    ['550 go away', 'soft', undefined],
  ])('RCPT of jürgen@… answered "%s" is %s', async (answer, verdict, enhanced) => {
    const { sender } = await house(at('RCPT', answer));
    const outcome = await sender.send(
      sampleLetter({ to: { name: 'Jürgen', address: 'jürgen@example.net' } }),
    );
    expect(outcome).toMatchObject({ kind: 'refused', verdict, detail: answer });
    expect('enhanced' in outcome ? outcome.enhanced : undefined).toBe(enhanced);
  });

  test.each([
    ['greeting', 'drop'],
    ['EHLO', 'drop'],
    ['MAIL', 'drop'],
    ['MAIL', 'reset'],
    ['RCPT', 'drop'],
    ['DATA', 'drop'],
  ])('%s: %s is certainly not accepted', async (step, fate) => {
    const { stub, sender } = await house(at(step, fate));
    expect(await sender.send(sampleLetter())).toMatchObject({ kind: 'retry' });
    expect(stub.accepted).toEqual([]);
    expect(stub.connections(), 'the pool dials once and leaves the rest to us').toBe(1);
  });

  test.each([
    ['dot', 'drop'],
    ['dot', 'reset'],
  ])('%s: %s is unknown', async (step, fate) => {
    const { sender } = await house(at(step, fate));
    expect(await sender.send(sampleLetter())).toMatchObject({ kind: 'unknown' });
  });

  // Each waits until the patience is at its end: all at once.
  test('a server that falls silent is certain before the dot, and unknown from there on', async () => {
    const steps = ['greeting', 'MAIL', 'RCPT', 'DATA', 'dot'];
    const came = await Promise.all(
      steps.map(async (step) => {
        const { stub, sender } = await house(at(step, 'silent'), { patience: QUICK });
        const { kind } = await sender.send(sampleLetter());
        return [step, kind, stub.accepted.length, stub.connections()];
      }),
    );
    expect(came).toEqual([
      ['greeting', 'retry', 0, 1],
      ['MAIL', 'retry', 0, 1],
      ['RCPT', 'retry', 0, 1],
      ['DATA', 'retry', 0, 1],
      ['dot', 'unknown', 0, 1],
    ]);
  });

  test.each(['drop', 'reset'])('body: %s before the letter may end is certain', async (fate) => {
    const { stub, sender } = await house(at('body', fate));
    let asked = 0;
    const never = () => {
      asked++;
      return new Promise<boolean>(() => undefined);
    };
    expect(await sender.send(sampleLetter(), never)).toMatchObject({ kind: 'retry' });
    expect(asked).toBe(1);
    expect(stub.accepted).toEqual([]);
  });

  test.each([
    ['unsigned', {}],
    ['signed', { dkim: { domain: 'example.org', selector: 's1', privateKey: PEM } }],
  ])('%s: asked once all but the end is out; told no, nobody has it', async (_how, options) => {
    const steps: string[] = [];
    const { stub, sender } = await house((step) => void steps.push(step), options);
    const seen: string[][] = [];
    const ask = (answer: boolean) => async () => {
      while (!steps.includes('body')) await new Promise(setImmediate);
      seen.push([...steps]);
      return answer;
    };
    expect(await sender.send(sampleLetter(), ask(false))).toMatchObject({ kind: 'retry' });
    expect(stub.accepted).toEqual([]);
    steps.length = 0;
    expect(await sender.send(sampleLetter(), ask(true))).toMatchObject({ kind: 'sent' });
    expect(stub.accepted).toEqual(['ida@example.net']);
    expect(seen).toHaveLength(2);
    for (const before of seen) expect(before).toEqual(expect.not.arrayContaining(['dot']));
  });

  test('nobody listens: retry', async () => {
    const { stub, sender } = await house(() => undefined);
    await stub.close();
    expect(await sender.send(sampleLetter())).toMatchObject({ kind: 'retry' });
  });
});

/** The fate that a recipient's name asks for. */
const fateOf = (text: string): string => /(\w+)-\d+@/.exec(text)?.[1] ?? '';

describe('many connections', () => {
  const FATES = ['sent', 'MAIL', 'RCPT', 'DATA', 'body', 'dot'] as const;

  test('every letter is judged by its own line', async () => {
    const { stub, sender } = await house(
      (step, line) => {
        if (step === 'MAIL' && line.includes('+MAIL@')) return 'drop';
        return (step === 'RCPT' || step === 'DATA' || step === 'dot') && fateOf(line) === step
          ? 'drop'
          : undefined;
      },
      { maxConnections: 4 },
    );
    const letters = Array.from({ length: 60 }, (_, index) => {
      const fate = FATES[index % FATES.length] ?? 'sent';
      return { fate, address: `${fate}-${index}@example.net` };
    });
    const outcomes = await Promise.all(
      letters.map(({ fate, address }, index) =>
        sender.send(
          sampleLetter({
            messageId: `<m${index}@example.org>`,
            to: { name: '', address },
            envelopeFrom: `b+${fate}@example.org`,
          }),
        ),
      ),
    );
    const told = letters.map(({ fate }, index) => `${fate}: ${outcomes[index]?.kind}`);
    const expected = letters.map(({ fate }) => {
      const kinds: Record<string, string> = { sent: 'sent', body: 'sent', dot: 'unknown' };
      return `${fate}: ${kinds[fate] ?? 'retry'}`;
    });
    expect(told).toEqual(expected);
    expect(stub.accepted.toSorted()).toEqual(
      letters
        .filter(({ fate }) => fate === 'sent' || fate === 'body')
        .map(({ address }) => address)
        .toSorted(),
    );
  });
});

describe('closing', () => {
  test('waits for the letter in flight', async () => {
    const { sender } = await house(() => undefined);
    const flying = sender.send(sampleLetter());
    await sender.close();
    expect(await flying).toMatchObject({ kind: 'sent' });
    expect(await sender.send(sampleLetter())).toMatchObject({ kind: 'retry' });
  });

  test('breaks off a letter that the server stalls, and says unknown', async () => {
    let stalled = false;
    const stalls: Script = (step) => {
      if (step !== 'dot') return undefined;
      stalled = true;
      return 'silent';
    };
    const { sender } = await house(stalls, {
      patience: { ...PATIENT, silence: 60_000, close: 200 },
    });
    const flying = sender.send(sampleLetter());
    await vi.waitFor(() => expect(stalled).toBe(true), 10_000);
    await sender.close();
    expect(await flying).toMatchObject({ kind: 'unknown' });
  });
});

test('a letter that cannot be built is refused and never dials', async () => {
  const { stub, sender } = await house(() => undefined);
  const broken = sampleLetter({ to: { name: '', address: 'ida@example.net\r\nBcc: x@y' } });
  expect(await sender.send(broken)).toMatchObject({ kind: 'refused', verdict: 'dead' });
  expect(await sender.send(sampleLetter({ subject: 'a\nb' }))).toMatchObject({
    kind: 'refused',
    verdict: 'none',
  });
  expect(stub.connections()).toBe(0);
});

test('a faulty URL is refused at once, without its password', () => {
  expect(() => smtpSender({ url: 'smtp://u:secret@h/path' })).toThrow(/path/);
  expect(() => smtpSender({ url: 'smtp://u:secret@h/path' })).not.toThrow(/secret/);
});
