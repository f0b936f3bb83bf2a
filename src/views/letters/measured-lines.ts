import { localeOf } from '../words/locale.ts';
import type { Checked } from './models.ts';
import type { Speaker } from './sheet.ts';
import type { Fillings } from '../words/words.ts';

type Measure = Checked<'visit-report'>['measured'][number];

/** What was measured at the frame, a line each: the figure, the limit it was held against, and whose that is. */
export function measuredLines(measures: readonly Measure[], speaker: Speaker): string[] {
  return measures.map((measure) => measuredLine(measure, speaker));
}

function measuredLine({ of, value, verdict, held }: Measure, speaker: Speaker): string {
  const { number, percent } = localeOf(speaker.language);
  const unit = of === 'force' ? 'N' : 'mm';
  // A figure at the end of a line keeps its unit.
  const size = (amount: number) => `${number(amount)}\u00a0${unit}`;
  const what = speaker.say(`measured.${of}`, { size: size(value) });
  const line = (key: 'to' | 'down' | 'over' | 'from', limit: string, more: Fillings = {}) => {
    const word = speaker.say(`verdict.${verdict}`);
    return speaker.say(`measured.${key}`, { what, limit, verdict: word, ...more });
  };
  if (held.by === 'first') return speaker.say('measured.first', { what });
  if (!('first' in held)) return line(held.by, size(held.limit));
  const first = { first: size(held.first.value), month: speaker.month(held.first.on) };
  if (held.by === 'from') return line('from', size(held.limit), first);
  const good = held.by === 'more' ? 'to' : 'down';
  const share = { share: percent(held.limit), ...first };
  return line(verdict === 'good' ? good : 'over', speaker.say(`measured.${held.by}`, share));
}
