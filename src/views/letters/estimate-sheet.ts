import type { Checked } from './models.ts';
import { careWords } from './stay.ts';
import { EMPTY_BODY, type LetterBody, registrations, type Speaker } from './sheet.ts';

/** What work would cost, line by line, how long that holds, and where it is answered. */
export function estimateBody(model: Checked<'estimate'>, speaker: Speaker): LetterBody {
  const { number, currency, items, net, tax, taxName, total, holdsUntil, words, answer } =
    model.estimate;
  const { say } = speaker;
  const money = (units: number) => speaker.money(currency, units);
  const until = speaker.day(holdsUntil);
  const sums =
    tax === null
      ? []
      : [
          { label: say('label.net'), value: money(net) },
          { label: taxName ?? say('label.tax'), value: money(tax) },
        ];
  return {
    ...EMPTY_BODY,
    fillings: { number: String(number), until },
    first: careWords(model.moves, speaker, model.organisation.kind),
    cars: [
      {
        name: registrations(speaker, model.cars),
        facts: [
          ...items.map(({ text, amount }) => ({ label: text, value: money(amount) })),
          ...sums,
          { label: say('label.total'), value: money(total) },
          { label: say('label.holdsUntil'), value: until },
        ],
        notes: words === null ? [] : [words],
      },
    ],
    offers:
      answer === null
        ? null
        : { intro: [], items: [{ label: say('estimate.button'), url: answer }] },
  };
}
