import { MARKS } from '../../../domain/figures/figure.ts';
import { z } from 'zod';
import { changeFigures, listFigureChanges } from '../../../usecases/settings/change-figures.ts';
import type { Context } from '../../../usecases/context/context.ts';
import { listRules, tryRule } from '../../../usecases/rules/list-rules.ts';
import { tagged, versionAsked } from '../../gate/etag.ts';
import { caller } from '../../gate/keys.ts';
import { id, pageOf, pageQuery, version } from '../../gate/shapes.ts';
import type { Routes } from '../../gate/routes.ts';
import { changeRefusals, recordRefusals, refusals } from '../../gate/routes.ts';

export const mark = z
  .enum(MARKS)
  .meta({ description: 'Where it comes from. A "shop rule" was published by nobody.' });

const figure = z
  .object({
    name: z.string().meta({ example: 'interval.faultFactor' }),
    value: z.number(),
    unit: z.string(),
    mark,
    source: z.string(),
    min: z.number().nullable(),
    max: z.number().nullable(),
    own: z.number().nullable().meta({ description: 'Your own value, where you have set one.' }),
  })
  .meta({ id: 'Figure' });
const rule = z
  .object({
    name: z.string(),
    does: z.string(),
    takes: z.string(),
    gives: z.string(),
    input: z
      .record(z.string(), z.unknown())
      .nullable()
      .meta({ description: 'JSON Schema; null where the rule cannot be tried alone.' }),
    figures: z.array(figure),
  })
  .meta({ id: 'Rule' });
const rules = z.object({ items: z.array(rule), version });
const figureChange = z
  .record(z.string().min(1).max(80), z.number().nullable())
  .refine((change) => Object.keys(change).length <= 200, 'Change 200 figures at most at a time.')
  .meta({ example: { 'interval.faultFactor': 0.6, 'hole.actOutOfRoundMm': null } });
const changed = z
  .object({
    id,
    changedAt: z.string(),
    keyId: id,
    figure: z.string(),
    was: z.number().nullable(),
    becomes: z.number().nullable(),
    version,
  })
  .meta({ id: 'FigureChange', description: 'null is the default.' });
const answer = z.record(z.string(), z.unknown());

/** The rules: what they are, what decides in them, trying them, and the organisation's own figures. */
export function ruleRoutes(app: Routes, context: Context): void {
  const tags = ['rules'];
  app.get(
    '/rules',
    {
      schema: {
        tags,
        summary: 'Every rule with its figures, their sources, and your own values',
        response: { 200: rules, ...refusals },
      },
    },
    (request, reply) => tagged(reply, listRules(context, caller(request))),
  );
  app.patch(
    '/rules/figures',
    {
      schema: {
        tags,
        summary: 'Set shop rules of your own; null goes back to the default',
        body: figureChange,
        response: { 200: rules, ...changeRefusals },
      },
    },
    async (request, reply) => {
      await changeFigures(context, caller(request), request.body, versionAsked(request));
      return tagged(reply, listRules(context, caller(request)));
    },
  );
  app.get(
    '/rules/changes',
    {
      schema: {
        tags,
        summary: 'Every change of your own figures, oldest first',
        querystring: pageQuery,
        response: { 200: pageOf(changed), ...refusals },
      },
    },
    (request) => listFigureChanges(context, caller(request), request.query),
  );
  app.post(
    '/rules/:name/try',
    {
      schema: {
        tags,
        summary: 'Try one rule alone, with your own figures; it records nothing',
        params: z.strictObject({ name: z.string().max(80) }),
        querystring: z.strictObject({
          explain: z
            .enum(['true', 'false'])
            .default('false')
            .meta({ description: 'Adds `explanation`, the sum in words.' }),
        }),
        body: answer.meta({ description: 'As the rule takes it: see GET /v1/rules.' }),
        response: { 200: answer, ...recordRefusals },
      },
    },
    async (request) => {
      const { params, query, body } = request;
      const tried = await tryRule(context, caller(request), params.name, body);
      return {
        ...tried.answer,
        ...(query.explain === 'true' ? { explanation: [...tried.words] } : {}),
      };
    },
  );
}
