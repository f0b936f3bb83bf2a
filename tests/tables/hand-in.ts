import type { Desk } from '../pages/desk.ts';
import type { Workshop } from '../setup/workshop.ts';

/** Hands a file in as a browser does; the page that follows. */
export async function handInBy(
  shop: Workshop,
  desk: Desk,
  text: string | Buffer,
  fields: Record<string, string> = {},
) {
  const { payload, type } = formOf(Buffer.from(text as string), fields);
  const response = await shop.server.inject({
    method: 'POST',
    url: '/import',
    headers: {
      cookie: desk.cookie,
      origin: 'https://care.example.org',
      'sec-fetch-site': 'same-origin',
      'content-type': type,
    },
    payload,
  });
  return {
    status: response.statusCode,
    html: response.body,
    to: String(response.headers.location),
  };
}

/** A form with a file as a browser sends it (RFC 7578). */
function formOf(bytes: Buffer, fields: Record<string, string>) {
  const line = 'handed-in-0123456789';
  const texts = Object.entries(fields).map(
    ([name, value]) =>
      `--${line}\r\nContent-Disposition: form-data; name="${name}"\r\n\r\n${value}\r\n`,
  );
  const head = `--${line}\r\nContent-Disposition: form-data; name="file"; filename="cars.csv"\r\nContent-Type: text/csv\r\n\r\n`;
  const payload = Buffer.concat([
    Buffer.from(texts.join('') + head),
    bytes,
    Buffer.from(`\r\n--${line}--\r\n`),
  ]);
  return { payload, type: `multipart/form-data; boundary=${line}` };
}
