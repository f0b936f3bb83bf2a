import { framePicture } from './frame-picture.ts';
import { measuredLines } from './measured-lines.ts';
import type { Checked } from './models.ts';
import { sentence as asSentence } from '../words/written.ts';
import { careWords, jointInWords, reasonInWords } from './stay.ts';
import { EMPTY_BODY, type LetterBody, registrations, type Section, type Speaker } from './sheet.ts';

type Model = Checked<'visit-report'>;
type Verdict = Model['pivots']['worst'][number]['verdict'];
type Finding = Model['findings'][number];

const BY_WEIGHT: readonly Verdict[] = ['act', 'plan', 'watch', 'good'];

/** What was measured at the frame as a whole. */
const FRAME_SIGNS: ReadonlySet<string> = new Set(['sway', 'twist', 'force']);

/** A shape beside the word, for readers who do not see the colour. */
const SIGNS: Readonly<Record<Verdict, string>> = { good: '○', watch: '◐', plan: '▲', act: '■' };

/**
 * The report of a visit in the order in which the trade tells it: how the top stands, what was done,
 * what was found, what was left undone, and what comes next and when.
 */
export function reportBody(model: Model, speaker: Speaker): LetterBody {
  const { visit } = model;
  const worst = [...model.pivots.worst].sort(
    (a, b) => BY_WEIGHT.indexOf(a.verdict) - BY_WEIGHT.indexOf(b.verdict),
  );
  const pivots = { ...model.pivots, worst };
  const gravest = worst[0]?.verdict ?? (pivots.washersMissing > 0 ? 'plan' : 'good');
  const outcome = speaker.say(`report.first.${gravest === 'good' ? besides(model) : gravest}`);
  const work = speaker.say(`visit.kind.${visit.kind}`);
  const fact = (label: string, value: string) => ({ label: speaker.say(`label.${label}`), value });
  return {
    ...EMPTY_BODY,
    fillings: { visit: work, done: speaker.day(visit.doneOn), outcome },
    first: [
      ...(model.insteadOf === null
        ? []
        : [speaker.say('report.first.anew', { day: speaker.day(model.insteadOf) })]),
      outcome,
      ...careWords(model.moves, speaker, model.organisation.kind),
    ],
    cars: [
      {
        name: registrations(speaker, model.cars),
        facts: [fact('work', work), fact('done', speaker.day(visit.doneOn))],
        notes: [],
      },
    ],
    done: sections([['done', done(model, speaker)]], speaker),
    picture: framePicture(pivots, speaker),
    pivots: worst.map(({ verdict, sentence }, i) => ({
      number: String(i + 1),
      sign: SIGNS[verdict],
      verdict: sentenceCase(speaker.say(`verdict.${verdict}`), speaker),
      sentence,
    })),
    ahead: sections(
      [
        ['measured', measuredLines(model.measured, speaker)],
        ['findings', seen(model, speaker)],
        ['undone', undone(model, speaker)],
        ['words', model.foreign ? [speaker.say('report.foreign')] : []],
        ['next', next({ ...model, pivots }, speaker)],
      ],
      speaker,
    ),
    photos: model.photos.map(({ picture, words, joint }) => ({
      picture,
      words: sentenceCase(
        [joint === null ? '' : jointInWords(joint, speaker), words ?? '']
          .filter((part) => part !== '')
          .join(': ') || speaker.say('photo'),
        speaker,
      ),
    })),
    cautions:
      gravest === 'good' ? [] : ['force', 'handbook'].map((k) => speaker.say(`caution.${k}`)),
  };
}

/** That nothing needs doing is said only where nothing else was found, or is still to be done. */
function besides({ moves, findings, lookAgain }: Model): 'good' | 'look' | 'more' {
  const stays = moves.some(({ verdict }) => verdict === 'leave');
  if (lookAgain !== null && !stays) return 'look';
  const isMore =
    moves.some(({ verdict }) => verdict !== 'free') ||
    findings.some(({ outcome }) => outcome !== 'done');
  return isMore ? 'more' : 'good';
}

function sections(all: readonly (readonly [string, readonly string[]])[], { say }: Speaker) {
  return all.flatMap(([name, lines]): Section[] =>
    lines.length === 0 ? [] : [{ heading: say(`heading.${name}`), lines }],
  );
}

function done({ pivots, findings }: Model, speaker: Speaker): string[] {
  const { checked, oiled, repaired } = pivots;
  return [
    ...(checked > 0 ? [speaker.count('report.done.checked', checked)] : []),
    ...(oiled > 0 ? [speaker.count('report.done.oiled', oiled)] : []),
    ...(repaired.length > 0
      ? [speaker.say('report.done.repaired', { joints: joints(repaired, speaker) })]
      : []),
    ...findings
      .filter(({ outcome }) => outcome === 'done')
      .map((finding) =>
        speaker.say('report.done.finding', { text: whatWasFound(finding, speaker) }),
      ),
  ];
}

/** What else was seen and what nobody has to decide. */
function seen({ pivots, findings }: Model, speaker: Speaker): string[] {
  return [
    ...(pivots.washersMissing > 0
      ? [speaker.count('report.found.washers', pivots.washersMissing)]
      : []),
    ...findings
      .filter(({ outcome }) => outcome === null)
      .map((finding) => withAdvice(finding, speaker)),
  ];
}

function undone({ pivots, findings }: Model, speaker: Speaker): string[] {
  const { unseen, notOiled } = pivots;
  return [
    ...(unseen > 0 ? [speaker.count('report.undone.unseen', unseen)] : []),
    ...(notOiled.length > 0
      ? [speaker.say('report.undone.oil', { joints: joints(notOiled, speaker) })]
      : []),
    ...findings
      .filter(({ outcome }) => outcome !== null && outcome !== 'done')
      .map((finding) => {
        const decided = speaker.say(`report.undone.${finding.outcome ?? ''}`);
        return `${withAdvice(finding, speaker)} ${decided}`;
      }),
  ];
}

function next({ visit, pivots, moves, lookAgain, nextDueOn }: Model, speaker: Speaker): string[] {
  const of = (...verdicts: Verdict[]) =>
    pivots.worst.filter(({ verdict }) => verdicts.includes(verdict)).map(({ code }) => code);
  const repair = of('act', 'plan');
  const watch = of('watch');
  const frame = moves
    .flatMap(({ reasons }) => reasons)
    .filter(({ sign }) => FRAME_SIGNS.has(sign))
    .map((reason) => reasonInWords(reason, speaker));
  // Oil and second looks wait for the repair of a top that must not be moved.
  const stays = moves.some(({ verdict }) => verdict === 'leave');
  const again = stays ? null : lookAgain;
  const oil = stays ? null : nextDueOn;
  return [
    ...(repair.length > 0
      ? [speaker.say('report.next.repair', { joints: joints(repair, speaker) })]
      : []),
    ...(frame.length > 0 ? [speaker.say('report.next.frame', { why: speaker.list(frame) })] : []),
    ...(watch.length > 0
      ? [speaker.say('report.next.watch', { joints: joints(watch, speaker) })]
      : []),
    ...(again === null
      ? []
      : [speaker.say('report.next.look', { span: speaker.span(again.from, again.to) })]),
    ...(oil === null ? [] : [oilAhead(oil, visit.doneOn, speaker)]),
  ];
}

/** A stiff joint shortens the interval, also of the months gone by: then no day to come can be named. */
function oilAhead(dueOn: string, doneOn: string, speaker: Speaker): string {
  return dueOn > doneOn
    ? speaker.say('report.next.oil', { day: speaker.day(dueOn) })
    : speaker.say('report.next.oil.now');
}

function withAdvice(finding: Finding, speaker: Speaker): string {
  const found = whatWasFound(finding, speaker);
  if (finding.advised === null) return found;
  return `${found} ${speaker.say('finding.advised', { advised: asSentence(finding.advised) })}`;
}

/** "Left main pivot: stiff." */
function whatWasFound({ joint, text }: Finding, speaker: Speaker): string {
  const found = asSentence(text);
  if (joint === null) return sentenceCase(found, speaker);
  return `${sentenceCase(jointInWords(joint, speaker), speaker)}: ${found}`;
}

function joints(codes: readonly string[], speaker: Speaker): string {
  return speaker.list(codes.map((code) => jointInWords(code, speaker)));
}

function sentenceCase(words: string, { language }: Speaker): string {
  return `${words.slice(0, 1).toLocaleUpperCase(language)}${words.slice(1)}`;
}
