import { z } from 'zod';
import { BenchInputError } from '../../domain/bench/horizon.ts';
import type { OwnFigures, TableName } from '../../domain/figure-tables/figure-tables.ts';
import type { Fault } from '../../domain/refusal.ts';
import { pointerTo, Refused } from '../../domain/refusal.ts';

/** What a rule answers to one input, and the sum behind it in words, line by line. */
export interface Tried {
  readonly answer: object;
  readonly words: readonly string[];
}

/** A rule that can be tried alone: JSON in, JSON out, no records needed. */
export interface Trial {
  /** JSON Schema of what goes in. */
  readonly schema: Readonly<Record<string, unknown>>;
  /** Throws `Refused` with the faults by field, nothing else. */
  run(input: unknown, own?: OwnFigures): Tried;
}

export interface Rule {
  readonly name: string;
  /** A shorter name that the command takes as well. */
  readonly short?: string;
  /** What it does, in one line. */
  readonly does: string;
  readonly takes: string;
  readonly gives: string;
  /** The tables of its figures, or single figures as `table.name`. */
  readonly figures: readonly (TableName | `${TableName}.${string}`)[];
  /** Null for rules that judge the records and are seen at work where those are shown. */
  readonly trial: Trial | null;
}

/** Makes a trial of a strict shape and a pure function, with the sum in words beside the answer. */
export function trialOf<Input, Answer extends object>(trial: {
  readonly input: z.ZodType<Input>;
  answer(input: Input, own: OwnFigures): Answer;
  explain(answer: Answer, input: Input, own: OwnFigures): readonly string[];
}): Trial {
  let schema: Trial['schema'] | undefined;
  return {
    get schema() {
      return (schema ??= z.toJSONSchema(trial.input, { io: 'input', unrepresentable: 'any' }));
    },
    run(input, own = {}) {
      const read = trial.input.safeParse(input);
      if (!read.success) {
        throw new Refused({ kind: 'invalid', faults: read.error.issues.map(faultOf) });
      }
      try {
        const answer = trial.answer(read.data, own);
        return { answer, words: trial.explain(answer, read.data, own) };
      } catch (fault) {
        throw refusalOf(fault);
      }
    },
  };
}

function faultOf({ path, message, ...issue }: z.core.$ZodIssue): Fault {
  if (issue.code !== 'unrecognized_keys') return { pointer: pointerTo(path), detail: message };
  return {
    pointer: pointerTo([...path, issue.keys[0] ?? '']),
    detail: `There is no such field: ${issue.keys.join(', ')}. Leave it out.`,
  };
}

/** A fault of the input that only the rule itself could see. Anything else is a fault of ours. */
function refusalOf(fault: unknown): unknown {
  if (fault instanceof BenchInputError) {
    const path = fault.field.split(/[.[\]]+/).filter((part) => part !== '');
    const one = { pointer: pointerTo(path), detail: `${fault.message}.` };
    return new Refused({ kind: 'invalid', faults: [one] });
  }
  return fault;
}
