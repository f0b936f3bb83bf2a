import { mkdtemp, readdir, readFile, rm, writeFile, chmod } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import PostalMime from 'postal-mime';
import { afterEach, beforeEach, expect, test } from 'vitest';
import {
  readTray,
  readTrayLetter,
  readTraySource,
  trayName,
  traySender,
} from '../../src/mail/tray.ts';
import { sampleLetter } from './sample-letter.ts';

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'tray-'));
});
afterEach(() => rm(folder, { recursive: true }));

test('a letter becomes a message file and can be read back', async () => {
  const tray = join(folder, 'made', 'when missing');
  const letter = sampleLetter();
  const outcome = await traySender(tray).send(letter);
  expect(outcome.kind).toBe('sent');
  const [entry] = await readTray(tray);
  expect(entry).toEqual({
    name: trayName(letter.messageId),
    messageId: letter.messageId,
    to: 'ida@example.net',
    subject: letter.subject,
    date: letter.date,
  });
  const shown = await readTrayLetter(tray, entry?.name ?? '');
  expect(shown?.html).toBe(letter.html);
  expect(shown?.text).toBe(letter.text);
  const source = await readTraySource(tray, entry?.name ?? '');
  const mail = await PostalMime.parse(source ?? '');
  expect(mail.messageId).toBe('<letter-42.1@example.org>');
  expect(String(source)).toMatch(/List-Unsubscribe-Post: List-Unsubscribe=One-Click\r\n/);
});

test('the same Message-ID again changes nothing, at the same time or later', async () => {
  const sender = traySender(folder);
  await Promise.all([1, 2, 3].map(() => sender.send(sampleLetter())));
  const name = `${trayName(sampleLetter().messageId)}.eml`;
  const before = await readFile(join(folder, name));
  expect(await sender.send(sampleLetter({ subject: 'other' }))).toMatchObject({ kind: 'sent' });
  expect(await readFile(join(folder, name))).toEqual(before);
  expect((await readdir(folder)).toSorted()).toEqual([name, name.replace('.eml', '.json')]);
});

test('letters are listed oldest first; foreign and damaged files are passed over', async () => {
  const sender = traySender(folder);
  for (const day of ['03', '01', '02']) {
    const date = `2026-03-${day}T08:00:00Z`;
    await sender.send(sampleLetter({ messageId: `<${day}@example.org>`, date }));
  }
  await writeFile(join(folder, 'broken.json'), '{"messageId":');
  await writeFile(join(folder, 'foreign.json'), '[1]');
  await writeFile(join(folder, 'note.txt'), 'x');
  const days = (await readTray(folder)).map(({ date }) => date.slice(8, 10));
  expect(days).toEqual(['01', '02', '03']);
  expect(await readTray(join(folder, 'nowhere'))).toEqual([]);
});

test('identifiers that look alike get files of their own', () => {
  const names = ['<a/b@x.org>', '<a_b@x.org>', '<A_B@x.org>', '<../../etc/passwd@x>'].map(trayName);
  expect(new Set(names.map((name) => name.toLowerCase())).size).toBe(4);
  for (const name of names) expect(name).toMatch(/^[A-Za-z0-9_][A-Za-z0-9._-]*$/);
});

test.each(['../secret', '..', 'a/../../secret', '/etc/passwd', 'secret\0', '', '.secret', 'a\\b'])(
  'the name %j leads nowhere',
  async (name) => {
    const tray = join(folder, 'tray');
    await traySender(tray).send(sampleLetter());
    const secret = { messageId: 's', to: 's', subject: 's', date: 's', text: 's', html: 's' };
    await writeFile(join(folder, 'secret.json'), JSON.stringify(secret));
    expect(await readTrayLetter(tray, name)).toBeNull();
    expect(await readTraySource(tray, name)).toBeNull();
  },
);

test('a tray that cannot be written is a matter of settings', async () => {
  const file = join(folder, 'file');
  await writeFile(file, '');
  await chmod(file, 0o600);
  expect(await traySender(join(file, 'tray')).send(sampleLetter())).toMatchObject({
    kind: 'configuration',
  });
});

test('a letter with a line break in its subject is refused', async () => {
  const outcome = await traySender(folder).send(sampleLetter({ subject: 'a\r\nBcc: b@c' }));
  expect(outcome).toMatchObject({ kind: 'refused', verdict: 'none' });
  expect(await readdir(folder)).toEqual([]);
});
