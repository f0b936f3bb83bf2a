import type { OwnFigures } from '../../domain/figure-tables/figure-tables.ts';
import { figureNamed } from '../../domain/figure-tables/figure-tables.ts';
import type { Mark } from '../../domain/figures/figure.ts';
import { notFound } from '../../domain/refusal.ts';
import type { Caller, Context } from '../context/context.ts';
import { showOrganisation } from '../organisations/organisations.ts';
import { figureNamesOf } from './figures-of-rule.ts';
import { RULES, triableRule } from './all-rules.ts';
import type { Rule, Tried } from './rule.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';

export interface FigureRecord {
  /** The name under which it can be changed. */
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  readonly mark: Mark;
  readonly source: string;
  /** Bounds of a shop rule; null for figures that stay as they are. */
  readonly min: number | null;
  readonly max: number | null;
  /** The organisation's own value, where it has one. */
  readonly own: number | null;
}

export interface RuleRecord {
  readonly name: string;
  readonly does: string;
  readonly takes: string;
  readonly gives: string;
  /** JSON Schema of the input; null where the rule cannot be tried alone. */
  readonly input: Record<string, unknown> | null;
  readonly figures: FigureRecord[];
}

/** Every rule with its figures, and the version of the organisation to change them by. */
export async function listRules(
  context: Context,
  caller: Caller,
): Promise<{ items: RuleRecord[]; version: number }> {
  const { version } = await showOrganisation(context, caller);
  const own = await ownFiguresOf(context.store.sql, caller.organisationId);
  return { items: RULES.map((rule) => ruleRecordOf(rule, own)), version };
}

function ruleRecordOf(rule: Rule, own: OwnFigures): RuleRecord {
  const { name, does, takes, gives, trial } = rule;
  return {
    name,
    does,
    takes,
    gives,
    input: trial === null ? null : { ...trial.schema },
    figures: figureNamesOf(rule).flatMap((figure) => figureRecordOf(figure, own)),
  };
}

function figureRecordOf(name: string, own: OwnFigures): FigureRecord[] {
  const figure = figureNamed(name);
  if (figure === undefined) return [];
  const { value, unit, mark, source, min = null, max = null } = figure;
  return [{ name, value, unit, mark, source, min, max, own: own[name] ?? null }];
}

/** Tries a rule with the organisation's own figures. */
export async function tryRule(
  context: Context,
  caller: Caller,
  name: string,
  input: unknown,
): Promise<Tried> {
  const rule = triableRule(name);
  if (rule === undefined) throw notFound('rule to try');
  return rule.trial.run(input, await ownFiguresOf(context.store.sql, caller.organisationId));
}
