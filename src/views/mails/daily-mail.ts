import type { Day } from '../../domain/calendar/day.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Voice } from '../words/voice.ts';
import { escaped } from '../letters/templates.ts';

/** What matters to a shop or club on one day. */
export interface DailyMailFacts {
  readonly organisation: string;
  readonly timeZone: string;
  readonly now: Instant;
  readonly today: Day;
  /** Cars whose tops must stay as they are, for which no repair is booked. */
  readonly staying: readonly { readonly registration: string }[];
  /** Today, and the next day that is open. */
  readonly bench: readonly {
    readonly on: Day;
    readonly visits: readonly {
      readonly dropOff: string | null;
      readonly registration: string;
      readonly kind: string;
    }[];
  }[];
  /** What owners did by their links. */
  readonly news: readonly {
    readonly deed: string;
    readonly registration: string;
    readonly ownerName: string;
    readonly on: Day | null;
    readonly at: Instant;
  }[];
  /** Letters that met a fault. */
  readonly faults: number;
  /** Cars near their folded limit or past it. */
  readonly folded: number;
  readonly calls: number;
  readonly order: number;
  readonly page: string;
  readonly settings: string;
}

interface Section {
  readonly heading: string;
  readonly lines: readonly string[];
}

/**
 * The one mail a day to an organisation. Its subject tells nothing of cars or people, for it stands on
 * locked screens; where tops stand folded is a number alone, since mail is read by many eyes.
 */
export function dailyMail(
  facts: DailyMailFacts,
  voice: Voice,
): { readonly subject: string; readonly text: string; readonly html: string } {
  const { say, day } = voice;
  const heading = say('daily.heading', { day: day(facts.today) });
  const sections = sectionsOf(facts, voice);
  const subject = say('daily.subject');
  const whole = say('daily.page');
  const off = say('daily.off');
  return {
    subject,
    text: [
      heading,
      ...sections.map((one) => [one.heading, ...one.lines.map((line) => `- ${line}`)].join('\n')),
      `${whole}: ${facts.page}`,
      `${off}: ${facts.settings}`,
      '',
    ].join('\n\n'),
    html: [
      `<!doctype html><html lang="${voice.language}"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><meta name="color-scheme" content="light dark"><title>${escaped(subject)}</title></head>`,
      '<body style="margin:0 auto;max-width:36em;padding:1em;font-family:sans-serif;font-size:17px;line-height:1.5">',
      `<h1 style="font-size:24px;line-height:1.25">${escaped(heading)}</h1>`,
      ...sections.flatMap((one) => [
        `<h2 style="font-size:19px;margin:1.25em 0 0.25em">${escaped(one.heading)}</h2>`,
        `<ul style="margin:0;padding-left:1.25em">${one.lines.map((line) => `<li>${escaped(line)}</li>`).join('')}</ul>`,
      ]),
      `<p style="margin:1.5em 0"><a href="${escaped(facts.page)}" style="font-weight:bold">${escaped(whole)}</a></p>`,
      `<p style="font-size:15px"><a href="${escaped(facts.settings)}">${escaped(off)}</a></p></body></html>`,
    ].join('\n'),
  };
}

function sectionsOf(facts: DailyMailFacts, voice: Voice): Section[] {
  const { say, count } = voice;
  const { staying, bench, news } = facts;
  const numbers = [
    ...(facts.folded > 0 ? [count('daily.folded', facts.folded)] : []),
    ...(facts.faults > 0 ? [count('daily.faults', facts.faults)] : []),
    ...(facts.calls > 0 ? [count('daily.calls', facts.calls)] : []),
    ...(facts.order > 0 ? [count('daily.order', facts.order)] : []),
  ];
  const whole: Section[] = [
    {
      heading: say('daily.staying'),
      lines: staying.map(({ registration }) => say('daily.staying.line', { registration })),
    },
    ...bench.map(({ on, visits }, i) => ({
      heading: i === 0 ? say('daily.bench') : say('daily.bench.next', { day: voice.day(on) }),
      lines: visits.map(({ dropOff, registration, kind }) =>
        say('daily.bench.line', {
          time: dropOff ?? say('daily.bench.any-time'),
          registration,
          kind: say(`visit-kind.${kind}`),
        }),
      ),
    })),
    { heading: say('daily.news'), lines: news.map((one) => newsLine(one, facts, voice)) },
    { heading: say('daily.numbers'), lines: numbers },
  ];
  return whole.filter(({ lines }) => lines.length > 0);
}

function newsLine(
  { deed, registration, ownerName: owner, on, at }: DailyMailFacts['news'][number],
  { timeZone, now }: DailyMailFacts,
  voice: Voice,
): string {
  const { say } = voice;
  const day = on === null ? '' : voice.day(on);
  const what =
    deed === 'cancelled' && on !== null
      ? say('today.news.cancelled.day', { owner, day })
      : say(`today.news.${deed}`, { owner, day });
  return say('daily.news.line', { registration, what, when: voice.moment(at, timeZone, now) });
}
