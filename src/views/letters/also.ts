import type { Checked } from './models.ts';
import type { AlsoBlock, Pointer, Speaker } from './sheet.ts';

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

type Linked = Pick<Checked<'lubrication-due'>, 'links'>;

/** The link to the sources of what is advised: to all of it, or to one piece. */
export function sourcesOf({ links }: Linked, { say }: Speaker, adviceId?: string): Pointer | null {
  if (links.advice === null) return null;
  const url = adviceId === undefined ? links.advice : `${links.advice}#${adviceId}`;
  return { text: say('advice.sources'), url };
}

/** The same where advice shares the letter of another matter; null where none does. */
export function alsoSources(
  { also, links }: Linked & { readonly also: Also },
  speaker: Speaker,
): Pointer | null {
  return also.advice.length === 0 ? null : sourcesOf({ links }, speaker);
}
