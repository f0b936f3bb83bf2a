import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { applyReport } from '../../../usecases/delivery/apply-report.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { REPORT_VERDICTS } from '../../../usecases/delivery/report-words.ts';
import { caller } from '../../gate/keys.ts';
import { id } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { recordRefusals } from '../../gate/routes.ts';

const report = z
  .object({
    kind: z.enum(['delivery', 'complaint', 'other']),
    why: z.string().nullable(),
    matched: z.array(
      z.object({ letterId: id, address: z.string(), verdict: z.enum(REPORT_VERDICTS) }),
    ),
    applied: z.boolean(),
  })
  .meta({ id: 'Report', description: 'What a message that came back says about a letter.' });

const message = z
  .custom<Uint8Array>(
    (body) => body instanceof Uint8Array && body.byteLength > 0,
    'Send the whole message, with its headers, as message/rfc822.',
  )
  .meta({ type: 'string', format: 'binary' });

const MESSAGE_TYPES = ['message/rfc822', 'text/plain'];

/** Returned mail, handed in as it came. */
export function bounceRoutes(app: Routes, context: Context): void {
  void app.register(async (plain) => {
    const scope = plain.withTypeProvider<ZodTypeProvider>();
    // A message is bytes: read as text it would lose what is not UTF-8.
    scope.removeAllContentTypeParsers();
    scope.addContentTypeParser(MESSAGE_TYPES, { parseAs: 'buffer' }, (_request, body, done) => {
      done(null, body);
    });
    scope.post(
      '/bounces',
      {
        schema: {
          tags: ['letters'],
          summary: 'Hand in a message that came back: a delivery report or a complaint',
          description:
            'The raw message as message/rfc822 or text/plain, 256 KB at most. The letter is found by the token in the return path or by its Message-ID, never by an address. The same message counts once.',
          consumes: MESSAGE_TYPES,
          body: message,
          response: { 200: report, ...recordRefusals },
        },
      },
      (request) => applyReport(context, request.body, caller(request).organisationId),
    );
  });
}
