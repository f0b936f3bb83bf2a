import { z } from 'zod';

const KINDS: Readonly<Record<string, string>> = {
  string: 'a text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
  array: 'a list',
  tuple: 'a list',
  object: 'an object with fields',
  record: 'an object with fields',
  null: 'null',
};

const FORMATS: Readonly<Record<string, string>> = {
  email: 'Give a mail address such as name@example.org.',
  url: 'Give a full address that begins with https://.',
  uuid: 'Give an id as this server handed it out.',
  date: 'Give a day as YYYY-MM-DD.',
  datetime: 'Give an instant such as 2026-06-12T09:00:00Z.',
};

/**
 * Makes every shape of this process say in plain words what to do about a value, where the shape
 * brings no words of its own. To be called once, before the first value is judged.
 */
export function speakPlainly(): void {
  z.config({ localeError: adviceOn });
}

/** What to do about a value that a shape refused; undefined leaves it to the shape. */
function adviceOn(issue: z.core.$ZodRawIssue): string | undefined {
  switch (issue.code) {
    case 'invalid_type': {
      const wanted = KINDS[issue.expected] ?? `a value of kind ${issue.expected}`;
      return issue.input === undefined ? `Missing. Give ${wanted}.` : `Give ${wanted} here.`;
    }
    case 'invalid_value':
      return `${issue.input === undefined ? 'Missing. ' : ''}Give ${oneOf(issue.values)}.`;
    case 'too_big':
      return `Give ${amount(issue.origin, issue.maximum, issue.inclusive === false ? 'less than' : 'at most')}.`;
    case 'too_small':
      return Number(issue.minimum) === 1 && issue.inclusive !== false && issue.origin === 'string'
        ? 'It is empty. Give a text.'
        : `Give ${amount(issue.origin, issue.minimum, issue.inclusive === false ? 'more than' : 'at least')}.`;
    case 'invalid_format':
      return FORMATS[issue.format] ?? 'It is not written in the form that is expected here.';
    case 'unrecognized_keys':
      return `There is no such field: ${issue.keys.join(', ')}. Leave it out.`;
    case 'not_multiple_of':
      return `Give a multiple of ${issue.divisor}.`;
    case 'invalid_union':
      return 'It has none of the forms that can stand here.';
    case 'invalid_key':
    case 'invalid_element':
    case 'custom':
      return undefined;
  }
}

function oneOf(values: readonly unknown[]): string {
  const named = values.map((value) => JSON.stringify(value));
  return named.length === 1 ? (named[0] ?? '') : `one of ${named.join(', ')}`;
}

function amount(origin: string, bound: number | bigint, how: string): string {
  const what = `${how} ${String(bound)}`;
  if (origin === 'string') return `${what} characters`;
  return origin === 'array' || origin === 'set' ? `${what} entries` : `a number of ${what}`;
}
