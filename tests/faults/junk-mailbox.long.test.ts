import { expect, it } from 'vitest';
import { JUNK_GOALS, junkMailbox } from './junk-mailbox.ts';

it('finds the reports among unwanted mail, one of it huge, and takes no memory for that', async () => {
  const report = await junkMailbox(400, 50 * 1024 * 1024);
  expect(report).toMatchObject(Object.fromEntries(JUNK_GOALS.map((name) => [name, 0])));
  expect(report.messages).toBe(404);
  expect(report.looks).toBe(1);
}, 120_000);
