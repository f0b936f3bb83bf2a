import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { notFound } from '../../../domain/refusal.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import { patternName, patternPivotFields } from '../../../usecases/records/record-fields.ts';
import {
  drawPattern,
  listPatterns,
  putPatternRight,
} from '../../../usecases/tops/frame-patterns.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Sent } from '../frame/form.ts';
import { readBy, textIn } from '../shop/form-body.ts';
import { answerForm, freshOnce } from '../shop/shop-form.ts';
import { renderFor, showPage } from '../shop/shop-page.ts';
import { MOST_JOINTS, pivotsIn, rowOfPivot } from './drawing.ts';
import { patternSheet, patternsSheet } from './patterns-sheet.ts';

const LARGEST = 64 * 1024;
const drawing = z.strictObject({
  name: patternName,
  pivots: z
    .array(z.strictObject(patternPivotFields))
    .min(1, 'Draw one joint at least.')
    .max(2 * MOST_JOINTS),
});

/** Frames as a shop draws them itself: joint by joint, the map drawn on the server at each press. */
export function patternPages(app: FastifyInstance, context: Context): void {
  showPage(app, context, '/patterns', async ({ caller, voice, query }) => {
    const patterns = await listPatterns(context, caller);
    return renderFor(caller, 'patterns', ...patternsSheet(patterns, query('done'), voice));
  });
  const page = async (caller: Visitor, voice: Voice, of: string | undefined, sent: Sent | null) => {
    const patterns = await listPatterns(context, caller);
    const begun = patterns.find(({ name }) => name === of) ?? null;
    if (of !== undefined && begun === null) throw notFound('frame pattern');
    return renderFor(caller, 'pattern', ...patternSheet(begun, freshOnce(), sent, voice));
  };
  showPage(
    app,
    context,
    '/patterns/draw',
    ({ caller, voice, query }) => page(caller, voice, query('of'), null),
    'manage-organisation',
  );
  answerForm(app, context, {
    path: '/patterns/draw',
    needs: 'manage-organisation',
    largest: LARGEST,
    wantsMore: (form) => textIn(form, 'draw') !== undefined,
    record: async ({ caller, form }) => {
      const typed = readBy(drawing, { name: textIn(form, 'name') ?? '', pivots: pivotsIn(form) });
      // An own one of this name is put right, as long as no top has it.
      const own = (await listPatterns(context, caller)).find(({ name }) => name === typed.name);
      if (own?.own === true) await putPatternRight(context, caller, typed);
      else await drawPattern(context, caller, typed);
      return { to: '/patterns?done=drawn' };
    },
    show: ({ caller, voice, form }, sent) => page(caller, voice, textIn(form, 'of'), sent),
    fieldAt: (pointer, form) => {
      const [, nth, part] = /^#\/pivots\/(\d+)\/(\w+)$/.exec(pointer) ?? [];
      if (nth === undefined) return pointer === '#/name' ? 'name' : null;
      const field = part === 'code' ? 'name' : part === 'washersExpected' ? 'washers' : part;
      return `joints/${rowOfPivot(form, Number(nth))}/${field}`;
    },
  });
}
