import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LARGEST_REPORT, parseReport } from '../../src/mail/report-parser.ts';
import type { RecipientReport, Report } from '../../src/mail/report-parser.ts';
import { fixture, reportOf } from './report-fixture.ts';
import { runs } from '../setup/runs.ts';

function recipientsOf(report: Report): readonly RecipientReport[] {
  return report.kind === 'delivery' ? report.recipients : [];
}

async function only(...lines: string[]): Promise<RecipientReport | undefined> {
  return recipientsOf(await parseReport(reportOf(lines)))[0];
}

/** The field values of the samples in RFC 3464 appendix E (published), in letters of our own. */
describe('the samples of RFC 3464', () => {
  test('a simple report: failed, yet the code says it may pass', async () => {
    expect(await parseReport(await fixture('delivery-transient'))).toEqual({
      kind: 'delivery',
      recipients: [
        {
          address: 'louisl@larry.slip.umd.edu',
          originalAddress: 'louisl@larry.slip.umd.edu',
          action: 'failed',
          status: '4.0.0',
          diagnostic: 'smtp; 426 connection timed out',
          verdict: 'soft',
        },
      ],
      originalMessageId: '<letter-1.1@example.org>',
      envelopeId: null,
      verpTo: null,
    });
  });

  test('several recipients: two are gone, one only waits', async () => {
    const report = await parseReport(await fixture('delivery-several'));
    expect(
      recipientsOf(report).map(({ address, action, verdict }) => [address, action, verdict]),
    ).toEqual([
      ['arathib@vnet.ibm.com', 'failed', 'dead'],
      ['johnh@hpnjld.njd.hp.com', 'delayed', 'none'],
      ['wsnell@sdcc13.ucsd.edu', 'failed', 'dead'],
    ]);
    expect(recipientsOf(report)[0]?.diagnostic).toBe(
      "smtp;  550 'arathib@vnet.IBM.COM' is not a registered gateway user",
    );
    expect(recipientsOf(report)[0]?.status).toBe('5.0.0');
  });

  test('a gateway without a usable address, nothing returned: nobody to blame', async () => {
    expect(await parseReport(await fixture('delivery-gateway'))).toEqual({
      kind: 'delivery',
      recipients: [
        {
          address: null,
          originalAddress: null,
          action: 'failed',
          status: '5.0.0',
          diagnostic: null,
          verdict: 'soft',
        },
      ],
      originalMessageId: null,
      envelopeId: null,
      verpTo: 'bounces+tok3@example.org',
    });
  });

  test('a delay changes nothing', async () => {
    const report = await parseReport(await fixture('delivery-delayed'));
    expect(recipientsOf(report)).toMatchObject([
      { address: 'thomas@de-montfort.ac.uk', action: 'delayed', status: '4.0.0', verdict: 'none' },
    ]);
  });
});

// RFC 5965; the field values of a published sample report of the kind "abuse".
test('a complaint names who wants no more letters', async () => {
  expect(await parseReport(await fixture('complaint'))).toEqual({
    kind: 'complaint',
    address: 'user@example.com',
    originalMessageId: '<letter-5.1@example.org>',
    verpTo: 'bounces+tok5@example.org',
  });
});

// RFC 5965 appendix B.1: only the three fields that every report must have (published).
test('a complaint that says no more than it must is found by the letter that it returns', async () => {
  const text = (await fixture('complaint')).replace(
    /^(Original|Arrival|Reported|Removal)-.*\r\n/gm,
    '',
  );
  expect(text).toContain('Feedback-Type: abuse\r\nUser-Agent: Mailbox/1.0\r\nVersion: 1\r\n\r\n');
  expect(await parseReport(text)).toMatchObject({
    kind: 'complaint',
    address: null,
    originalMessageId: '<letter-5.1@example.org>',
  });
});

test.each(['not-spam', 'auth-failure'])('feedback of the kind %s is no complaint', async (kind) => {
  const text = (await fixture('complaint')).replace(
    'Feedback-Type: abuse',
    `feedback-TYPE: ${kind}`,
  );
  expect(await parseReport(text)).toMatchObject({ kind: 'other' });
});

test('a complaint about several recipients names none', async () => {
  const text = (await fixture('complaint'))
    .replace('Removal-Recipient: user@example.com\r\n', '')
    .replace('Arrival-Date', 'Original-Rcpt-To: <other@example.com>\r\nArrival-Date');
  expect(await parseReport(text)).toMatchObject({ kind: 'complaint', address: null });
});

// Measured with a real mail server: it states 5.0.0 for everything and quotes the true code.
test('a bare 5.0.0 is decided by the reply it quotes', async () => {
  expect(await parseReport(await fixture('delivery-bare-status'))).toMatchObject({
    kind: 'delivery',
    recipients: [{ address: 'full@peer.example', status: '5.2.2', verdict: 'soft' }],
    originalMessageId: '<letter-6.1@example.org>',
    envelopeId: '-tok6',
    verpTo: 'b+tok6@example.org',
  });
});

// RFC 3463 sections 3.2 to 3.8 for the meanings; what we conclude from them is a shop rule.
describe('what follows from a failure', () => {
  test.each([
    ['5.1.1', 'dead'],
    ['5.1.2', 'dead'],
    ['5.1.3', 'dead'],
    ['5.1.6', 'dead'],
    ['5.1.10', 'dead'],
    ['5.2.1', 'dead'],
    ['5.1.4', 'soft'],
    ['5.1.0', 'soft'],
    ['5.1.11', 'soft'],
    ['5.2.2', 'soft'],
    ['5.2.3', 'soft'],
    ['5.3.0', 'soft'],
    ['5.3.2', 'soft'],
    ['5.3.4', 'policy'],
    ['5.4.1', 'soft'],
    ['5.4.4', 'soft'],
    ['5.4.7', 'soft'],
    ['5.5.2', 'soft'],
    // X.6 is about what the letter holds, X.1.7 and X.1.8 are about its sender.
    ['5.6.0', 'policy'],
    ['5.6.3', 'policy'],
    ['5.1.7', 'policy'],
    ['5.1.8', 'policy'],
    ['4.1.8', 'policy'],
    ['4.6.0', 'soft'],
    ['5.7.1', 'policy'],
    ['5.7.26', 'policy'],
    ['5.7.515', 'policy'],
    ['5.0.0', 'soft'],
    ['4.1.1', 'soft'],
    ['4.2.1', 'soft'],
    ['4.2.2', 'soft'],
    ['4.4.7', 'soft'],
    ['4.7.1', 'soft'],
  ])('failed with %s: %s', async (status, verdict) => {
    const lines = ['Final-Recipient: rfc822; a@b.example', `Status: ${status}`];
    expect(await only(...lines, 'Action: failed')).toMatchObject({ status, verdict });
    for (const action of ['delayed', 'delivered', 'relayed', 'expanded']) {
      expect(await only(...lines, `Action: ${action}`)).toMatchObject({ verdict: 'none' });
    }
  });

  test.each([
    // No Status field at all: the quoted reply decides, and silence condemns nobody.
    [null, 'smtp; 550 5.1.1 nobody here', '5.1.1', 'dead'],
    [null, 'smtp; 550 no such user here', null, 'dead'],
    [null, 'smtp; 550 blocked by our policy: unknown user agent', null, 'policy'],
    [null, 'smtp; 452 4.2.2 full', '4.2.2', 'soft'],
    [null, 'smtp; 550 mailbox unavailable', null, 'soft'],
    [null, null, null, 'soft'],
    // A code that is none: leading zero, four parts, class 3.
    ['5.01.1', null, null, 'soft'],
    ['5.1.1.1', null, null, 'soft'],
    ['3.1.1', null, null, 'soft'],
    ['5.1', null, null, 'soft'],
    // Bare codes and what they quote.
    ['5.0.0', 'smtp; 550 5.1.1 <a@b.example>', '5.1.1', 'dead'],
    ['5.0.0', 'smtp;550-5.7.26 unauthenticated\r\n 550 5.7.26 sorry', '5.7.26', 'policy'],
    ['5.0.0', 'smtp; 451 4.7.1 come back later', '4.7.1', 'soft'],
    ['5.0.0', 'smtp; 550 #5.1.0 Address rejected.', '5.1.0', 'soft'],
    ['4.0.0', 'smtp; 550 5.1.1 nobody', '4.0.0', 'soft'],
    // A code that says something is not overruled, and free text is not read as a reply.
    ['4.4.1', 'smtp; 550 5.1.1 nobody', '4.4.1', 'soft'],
    ['5.0.0', 'smtp; host mx.example said: 550 5.1.1 nobody', '5.1.1', 'dead'],
    [null, 'smtp; gave up after 550 seconds, user unknown', null, 'soft'],
    ['5.0.0', 'X-Postfix; 550 5.1.1 user unknown', '5.0.0', 'soft'],
    // RFC 3464 section 2.3.4: a comment may follow the code.
    ['5.1.1 (bad mailbox)', null, '5.1.1', 'dead'],
  ] as const)('Status %j, Diagnostic-Code %j', async (status, diagnostic, code, verdict) => {
    const recipient = await only(
      'Final-Recipient: rfc822; a@b.example',
      'Action: failed',
      ...(status === null ? [] : [`Status: ${status}`]),
      ...(diagnostic === null ? [] : [`Diagnostic-Code: ${diagnostic}`]),
    );
    expect(recipient).toMatchObject({ status: code, verdict });
  });

  test('no action, no conclusion', async () => {
    const recipient = await only('Final-Recipient: rfc822; a@b.example', 'Status: 5.1.1');
    expect(recipient).toMatchObject({ action: '', verdict: 'none' });
  });
});

describe('how fields may be written', () => {
  test('in any case, folded, with comments, in any order', async () => {
    const recipient = await only(
      'STATUS:5.1.1 (nobody)',
      'final-recipient: RFC822 ;',
      '\t<A.b+c@Example.net>',
      'ACTION:  Failed (for good)',
      'oRiGiNaL-rEcIpIeNt: rfc822;owner@example.net',
    );
    expect(recipient).toMatchObject({
      address: 'A.b+c@Example.net',
      originalAddress: 'owner@example.net',
      action: 'failed',
      status: '5.1.1',
      verdict: 'dead',
    });
  });

  test.each(['unknown; nair_s', 'x400; /G=a/S=b/', 'rfc822; ', 'rfc822; a b@c', 'rfc822;@', ''])(
    'Final-Recipient %j is no address',
    async (value) => {
      const recipient = await only(`Final-Recipient: ${value}`, 'Action: failed', 'Status: 5.1.1');
      expect(recipient).toMatchObject({ address: null, action: 'failed' });
    },
  );

  test('a report in base64 with bare line feeds is read all the same', async () => {
    const body =
      'Reporting-MTA: dns; x\n\nFinal-Recipient: rfc822;a@b.example\nAction: failed\nStatus: 5.1.1\n';
    const text = reportOf([]).replace(
      /Content-Type: message\/delivery-status\r\n\r\n[^]*?--b--/,
      `Content-Type: message/delivery-status\r\nContent-Transfer-Encoding: base64\r\n\r\n${Buffer.from(body).toString('base64')}\r\n--b--`,
    );
    expect(recipientsOf(await parseReport(text))).toMatchObject([{ verdict: 'dead' }]);
  });
});

describe('what is no report', () => {
  // RFC 3834 section 5: parameters and comments must not stop recognition.
  test.each([
    ['auto-generated; owner-email="x@example.com"', 'an automatic reply'],
    ['Auto-Replied (rejected)', 'an automatic reply'],
    ['auto-notified', 'an automatic reply'],
    ['no', 'not a report'],
    ['No (a person)', 'not a report'],
  ])('Auto-Submitted: %s', async (value, why) => {
    const text = `From: a@b.example\r\nAuto-Submitted: ${value}\r\n\r\nI am away.\r\n`;
    expect(await parseReport(text)).toEqual({ kind: 'other', why });
  });

  test('a person forwarding a report is not a report', async () => {
    const text = [
      'From: a@b.example',
      'MIME-Version: 1.0',
      'Content-Type: multipart/mixed; boundary=outer',
      '',
      '--outer',
      'Content-Type: message/rfc822',
      '',
      await fixture('delivery-several'),
      '--outer--',
      '',
    ].join('\r\n');
    expect(await parseReport(text)).toEqual({ kind: 'other', why: 'not a report' });
  });

  test('empty, huge and hollow messages', async () => {
    expect(await parseReport('')).toMatchObject({ kind: 'other' });
    expect(await parseReport(Buffer.alloc(LARGEST_REPORT + 1))).toMatchObject({ kind: 'other' });
    expect(await parseReport(reportOf([]))).toEqual({
      kind: 'other',
      why: 'a report that names no recipient',
    });
  });
});

describe('any bytes', () => {
  const kinds = ['delivery', 'complaint', 'other'];

  test('random ones', async () => {
    await fc.assert(
      fc.asyncProperty(fc.uint8Array({ maxLength: 2000 }), async (bytes) => {
        expect(kinds).toContain((await parseReport(bytes)).kind);
      }),
    );
  });

  test('real reports with pieces cut out, doubled and spoilt', async () => {
    const seeds = await Promise.all(
      ['delivery-several', 'complaint', 'delivery-bare-status'].map(fixture),
    );
    const spoilt = fc
      .record({
        seed: fc.constantFrom(...seeds),
        from: fc.nat(2500),
        length: fc.nat(400),
        insert: fc.oneof(fc.uint8Array({ maxLength: 40 }), fc.constant(Buffer.from('\r\n\r\n--'))),
      })
      .map(({ seed, from, length, insert }) => {
        const bytes = Buffer.from(seed);
        return Buffer.concat([bytes.subarray(0, from), insert, bytes.subarray(from + length)]);
      });
    await fc.assert(
      fc.asyncProperty(spoilt, async (bytes) => {
        const report = await parseReport(bytes);
        expect(kinds).toContain(report.kind);
        for (const { address } of recipientsOf(report))
          expect(address ?? 'a@b').toMatch(/^\S+@\S+$/);
      }),
      { numRuns: runs(300) },
    );
  });

  test('long lines, long folds and countless recipients are read in no time', async () => {
    const long = 240_000;
    const spiteful = [
      `To: ${'a'.repeat(200_000)}\r\nIn-Reply-To: ${'<'.repeat(50_000)}\r\n\r\nx`,
      reportOf([`Final-Recipient: rfc822; a@b${' '.repeat(long)}`, 'Action: failed']),
      reportOf([`Final-Recipient: ${'a '.repeat(long / 2)}`, 'Action: failed']),
      reportOf(['Action: failed', `Diagnostic-Code: smtp${'\r\n x'.repeat(long / 4)}`]),
      reportOf(...Array.from({ length: 6_000 }, () => ['Action: failed', 'Status: 5.1.1'])),
      reportOf(['Action: failed', `Diagnostic-Code: smtp; 550 user ${'user '.repeat(long / 5)}`]),
    ];
    const began = process.cpuUsage();
    for (const text of spiteful) {
      expect(text.length).toBeLessThan(LARGEST_REPORT);
      const report = await parseReport(text);
      expect(recipientsOf(report).length).toBeLessThanOrEqual(200);
    }
    // Processor time, since other tests run beside this one; a quadratic reader takes minutes.
    expect(process.cpuUsage(began).user / 1000).toBeLessThan(8000);
  });

  test('a report written from values reads back to them', async () => {
    const value = fc.record({
      address: fc.stringMatching(/^[a-z0-9.+-]{1,20}@[a-z0-9]{1,10}\.example$/),
      action: fc.constantFrom('failed', 'delayed', 'delivered', 'relayed', 'expanded'),
      status: fc.tuple(fc.constantFrom(2, 4, 5), fc.nat(999), fc.nat(999)),
    });
    await fc.assert(
      fc.asyncProperty(fc.array(value, { minLength: 1, maxLength: 5 }), async (values) => {
        const blocks = values.map(({ address, action, status }) => [
          `Final-Recipient: rfc822;${address}`,
          `Action: ${action}`,
          `Status: ${status.join('.')}`,
        ]);
        const read = recipientsOf(await parseReport(reportOf(...blocks)));
        expect(read.map(({ address, action, status }) => ({ address, action, status }))).toEqual(
          values.map(({ address, action, status }) => ({
            address,
            action,
            status: status.join('.'),
          })),
        );
      }),
    );
  });
});
