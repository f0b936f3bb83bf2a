import type { Checked } from './models.ts';
import { careWords, jointInWords } from './stay.ts';
import { EMPTY_BODY, type LetterBody, registrations, type Speaker } from './sheet.ts';

type Model = Checked<'visit-report'>;
type Verdict = Model['pivots']['worst'][number]['verdict'];

const BY_WEIGHT: readonly Verdict[] = ['act', 'plan', 'watch', 'good'];

/** A shape beside the word, for readers who do not see the colour. */
const SIGNS: Readonly<Record<Verdict, string>> = { good: '○', watch: '◐', plan: '▲', act: '■' };

/** What was found on a visit, worst first, and what follows from it. */
export function reportBody(model: Model, speaker: Speaker): LetterBody {
  const { pivots, visit } = model;
  const worst = [...pivots.worst].sort(
    (a, b) => BY_WEIGHT.indexOf(a.verdict) - BY_WEIGHT.indexOf(b.verdict),
  );
  const gravest = worst[0]?.verdict ?? (pivots.washersMissing > 0 ? 'plan' : 'good');
  const fact = (label: string, value: string) => ({ label: speaker.say(`label.${label}`), value });
  const work = speaker.say(`visit.kind.${visit.kind}`);
  // Oil waits for the repair of a top that must not be moved.
  const stays = model.moves.some((move) => move.verdict === 'leave');
  const next =
    model.nextDueOn === null || stays ? [] : [fact('next', speaker.day(model.nextDueOn))];
  const { lookAgain } = model;
  const again =
    lookAgain === null || stays
      ? []
      : [fact('lookAgain', speaker.span(lookAgain.from, lookAgain.to))];
  return {
    ...EMPTY_BODY,
    figures: { visit: work, done: speaker.day(visit.doneOn) },
    first: [speaker.say(`report.first.${gravest}`), ...careWords(model.moves, speaker)],
    cars: [
      {
        name: registrations(speaker, model.cars),
        facts: [
          fact('work', work),
          fact('done', speaker.day(visit.doneOn)),
          fact('checked', speaker.count('pivots', pivots.checked)),
          fact('pivotsOiled', speaker.count('pivots', pivots.oiled)),
          fact('washers', speaker.count('washers', pivots.washersMissing)),
          ...again,
          ...next,
        ],
        notes: [],
      },
    ],
    pivots: worst.map(({ code, verdict, sentence }) => ({
      code: capital(jointInWords(code, speaker), speaker.language),
      sign: SIGNS[verdict],
      verdict: speaker.say(`verdict.${verdict}`),
      sentence,
    })),
    findings: model.findings.map(({ text, advised, outcome }) => ({
      text,
      notes: [
        ...(advised === null ? [] : [speaker.say('finding.advised', { advised })]),
        ...(outcome === null ? [] : [speaker.say(`finding.outcome.${outcome}`)]),
      ],
    })),
    cautions:
      gravest === 'good' ? [] : ['force', 'handbook'].map((k) => speaker.say(`caution.${k}`)),
  };
}

function capital(words: string, language: string): string {
  return `${words.slice(0, 1).toLocaleUpperCase(language)}${words.slice(1)}`;
}
