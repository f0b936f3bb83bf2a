import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';

/** A message of tests/fixtures/mail, with the line ends of the wire. */
export async function fixture(name: string): Promise<string> {
  const file = fileURLToPath(new URL(`../fixtures/mail/${name}.eml`, import.meta.url));
  return (await readFile(file, 'utf8')).replace(/\r?\n/g, '\r\n');
}

/** A delivery report with these recipient blocks, each a list of field lines. */
export function reportOf(...blocks: readonly (readonly string[])[]): string {
  const fields = blocks.map((block) => block.join('\r\n')).join('\r\n\r\n');
  return [
    'From: <mailer@mta.example>',
    'MIME-Version: 1.0',
    'Content-Type: multipart/report; report-type=delivery-status; boundary=b',
    '',
    '--b',
    'Content-Type: text/plain',
    '',
    'For people.',
    '--b',
    'Content-Type: message/delivery-status',
    '',
    'Reporting-MTA: dns; mta.example',
    '',
    fields,
    '',
    '--b--',
    '',
  ].join('\r\n');
}
