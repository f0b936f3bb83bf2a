import { z } from 'zod';
import { invalid } from '../../../domain/refusal.ts';
import type { CareDayInput } from '../../../usecases/care-days/keep-care-days.ts';
import { day, line, timeOfDay } from '../../../usecases/records/record-fields.ts';
import type { SmallForm } from '../frame/small-form.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { dayIn, numberIn, readBy, textIn, timeIn } from '../shop/form-body.ts';

const shape = z.strictObject({
  heldOn: day,
  place: line(200),
  from: timeOfDay,
  until: timeOfDay,
  benches: z.int('Give a whole number.').min(1).max(20),
  handMinutes: z.int('Give a whole number.').min(10).max(240),
  poweredMinutes: z.int('Give a whole number.').min(10).max(240),
  stepMinutes: z.int('Give a whole number.').min(5).max(60),
});
const helperName = line(80);
const CLOCK = '([01]\\d|2[0-3]):[0-5]\\d';
const SPAN = new RegExp(`^(${CLOCK})\\s*[-–]\\s*(${CLOCK})$`);
const HELPER = new RegExp(`^(.*?)(?:\\s+(${CLOCK})\\s*[-–]\\s*(${CLOCK}))?$`);
// What was meant as hours and is not: a name ends in no number.
const HALF_HOURS = /\s\S*\d\S*$/;
const MOST_HELPERS = 40;

/** Reads the form of a care day; helpers stand one a line, with their hours behind the name. */
export function careDayIn(form: SmallForm, voice: Voice): CareDayInput {
  const typed = readBy(shape, {
    heldOn: dayIn(form, 'heldOn', voice) ?? '',
    place: textIn(form, 'place') ?? '',
    from: timeIn(form, 'from') ?? '',
    until: timeIn(form, 'until') ?? '',
    benches: numberIn(form, 'benches'),
    handMinutes: numberIn(form, 'handMinutes'),
    poweredMinutes: numberIn(form, 'poweredMinutes'),
    stepMinutes: numberIn(form, 'stepMinutes'),
  });
  return { ...typed, breaks: breaksIn(form), helpers: helpersIn(form) };
}

function breaksIn(form: SmallForm): CareDayInput['breaks'] {
  const parts = (textIn(form, 'breaks') ?? '').split(/[,;\n]/).map((part) => part.trim());
  return parts
    .filter((part) => part !== '')
    .map((part) => {
      const [, from, , until] = SPAN.exec(part) ?? [];
      if (from === undefined || until === undefined) {
        throw invalid('#/breaks', `“${part.slice(0, 40)}” is no pause. Write it as 12:30-13:15.`);
      }
      return { from, until };
    });
}

function helpersIn(form: SmallForm): CareDayInput['helpers'] {
  const lines = (textIn(form, 'helpers') ?? '').split('\n').map((one) => one.trim());
  const named = lines.filter((one) => one !== '');
  if (named.length > MOST_HELPERS) throw invalid('#/helpers', `Name ${MOST_HELPERS} at the most.`);
  return named.map((one) => {
    const [, name = '', from, , until] = HELPER.exec(one) ?? [];
    const read = helperName.safeParse(name);
    if (!read.success) throw invalid('#/helpers', `“${one.slice(0, 40)}” is no name.`);
    if (from === undefined && HALF_HOURS.test(name)) {
      const words = `The hours of “${one.slice(0, 40)}” cannot be read. Write them as Ada 10:00-13:00.`;
      throw invalid('#/helpers', words);
    }
    return { name: read.data, ...(from && until ? { from, until } : {}) };
  });
}
