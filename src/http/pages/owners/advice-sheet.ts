import type { Advice } from '../../../domain/advice/advice.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';

export interface AdviceModel {
  readonly heading: string;
  readonly lead: string;
  readonly marksHeading: string;
  readonly marks: readonly { readonly name: string; readonly words: string }[];
  readonly contents: string;
  readonly rows: readonly {
    readonly id: string;
    readonly text: string;
    readonly why: string;
    readonly facts: readonly { readonly name: string; readonly words: string }[];
  }[];
  readonly other: { readonly href: string; readonly lang: string; readonly words: string };
}

/** Everything that Foldkeep advises, each with its reason, who says so and how well it is known. */
export function adviceSheet(rows: readonly Advice[], voice: Voice): [Frame, AdviceModel] {
  const { say, language } = voice;
  const speech = language.startsWith('de') ? 'de' : 'en';
  const other = speech === 'de' ? 'en' : 'de';
  const marks = [...new Set(rows.map(({ mark }) => mark))].sort();
  return [
    { lang: language, title: say('advice.title'), nav: null },
    {
      heading: say('advice.heading'),
      lead: say('advice.lead'),
      marksHeading: say('advice.marks'),
      marks: marks.map((mark) => ({
        name: say(`mark.${nameOf(mark)}`),
        words: say(`mark.${nameOf(mark)}.means`),
      })),
      contents: say('advice.contents'),
      rows: rows.map(({ id, text, why, grades, mark, source }) => ({
        id,
        text: text[speech],
        why: why[speech],
        facts: [
          {
            name: say('advice.who'),
            words: (grades.length === 0 ? ['none'] : grades)
              .map((grade) => say(`grade.${grade}`))
              .join('; '),
          },
          { name: say('advice.mark'), words: say(`mark.${nameOf(mark)}`) },
          { name: say('advice.source'), words: source[speech] },
        ],
      })),
      other: { href: `/advice?in=${other}`, lang: other, words: say('advice.other') },
    },
  ];
}

/** "common practice, no source" is `common-practice` among the words. */
function nameOf(mark: string): string {
  return (mark.split(',')[0] ?? mark).replaceAll(' ', '-');
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly advice: AdviceModel;
  }
}
