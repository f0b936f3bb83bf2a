import type { Checked } from './models.ts';
import type { AlsoBlock, Speaker } from './sheet.ts';

type Also = Checked<'lubrication-due'>['also'];

/** What shares a letter with its main matter: other cars that are due, warranties, advice. */
export function alsoBlocks(
  { lubrication, looks, warranties, advice }: Also,
  speaker: Speaker,
): AlsoBlock[] {
  const { say } = speaker;
  const blocks = [
    {
      heading: say('also.due.heading'),
      lines: [
        ...lubrication.map(({ registration, dueOn, late }) =>
          say(late ? 'also.late' : 'also.due', { car: registration, due: speaker.day(dueOn) }),
        ),
        ...looks.map(({ registration, until }) =>
          say('also.look', { car: registration, until: speaker.day(until) }),
        ),
      ],
      moves: true,
    },
    {
      heading: say('also.warranty.heading'),
      lines: warranties.map(({ registration, part, endsOn }) =>
        say('also.warranty', { car: registration, part, ends: speaker.day(endsOn) }),
      ),
      moves: false,
    },
    {
      heading: say('also.advice.heading'),
      lines: advice.map(({ text, why }) => say('also.advice', { text, why })),
      moves: true,
    },
  ];
  return blocks.filter(({ lines }) => lines.length > 0);
}
