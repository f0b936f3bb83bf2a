import type { MoveHow, MoveReason, MoveVerdict } from '../../domain/may-move/move-verdict.ts';
import { PIVOT_KINDS } from '../../domain/pivots/frame-patterns.ts';
import type { Speaker } from './sheet.ts';

/** What a letter or page must know of a top that may not be moved, or only with care. */
export interface MoveWord {
  readonly registration: string;
  readonly verdict: MoveVerdict;
  readonly reasons: readonly Pick<MoveReason, 'sign' | 'pivot' | 'fault'>[];
  readonly how: readonly MoveHow[];
  readonly repairOn: string | null;
  /** It has a motor; nobody with a hand-folded top is told of one. */
  readonly powered: boolean;
}

/** Whom the reader can ring. */
export interface Ringable {
  readonly kind: 'shop' | 'club' | 'private';
  readonly phone: string | null;
}

/** The words about tops that must stay as they are, in the order in which they are to be read. */
export interface StayWords {
  readonly heading: string;
  /** Which top, and that nobody shall move it; then why, one line a reason; then who mends it. */
  readonly lead: readonly string[];
  readonly steps: readonly string[];
  readonly cautions: readonly string[];
}

/** What to say of tops that must not be moved; null where there are none among these. */
export function stayWords(
  moves: readonly MoveWord[],
  whom: Ringable,
  speaker: Speaker,
): StayWords | null {
  const staying = moves.filter(({ verdict }) => verdict === 'leave');
  if (staying.length === 0) return null;
  return {
    heading: speaker.say('must-stay.heading'),
    lead: [
      speaker.say('stay.first'),
      ...staying.map(
        ({ registration, reasons, powered }) =>
          `${speaker.say(powered ? 'must-stay.lead.powered' : 'must-stay.lead', { car: registration })} ${becauseOf(reasons, speaker)}.`,
      ),
      ringOrWait(staying, whom, speaker),
    ],
    steps: ['dry', 'cover', 'drive'].map((step) => speaker.say(`stay.step.${step}`)),
    cautions: [
      'stay.caution.hands',
      staying.some(({ powered }) => powered) ? 'caution.springs.powered' : 'caution.springs',
      'stay.caution.handbook',
    ].map((key) => speaker.say(key)),
  };
}

/** Who reads how a top is moved: an owner of a shop, a club or by herself, or the shop at its desk. */
export type CareReader = Ringable['kind'] | 'desk';

/** How tops that may be moved with care are moved, and why; empty where none of these needs it. */
export function careWords(
  moves: readonly MoveWord[],
  speaker: Speaker,
  reader: CareReader,
): string[] {
  return moves
    .filter(({ verdict }) => verdict === 'with-care')
    .map(({ registration, reasons, how }) =>
      speaker.say('care.lead', {
        car: registration,
        because: becauseOf(reasons, speaker),
        how: how.map((one) => howInWords(one, speaker, reader)).join('; '),
      }),
    );
}

/** "stop at the first resistance, hold or prop what is half way, and ring us" */
export function howInWords(
  one: MoveWord['how'][number],
  speaker: Speaker,
  reader: CareReader,
): string {
  const isStop = one === 'stop' || one === 'stop-powered';
  return speaker.say(`care.how.${isStop ? `${one}.${reader}` : one}`);
}

function ringOrWait(staying: readonly MoveWord[], whom: Ringable, speaker: Speaker): string {
  const [first] = staying;
  if (staying.length === 1 && first !== undefined && first.repairOn !== null) {
    return speaker.say('stay.booked', { day: speaker.day(first.repairOn) });
  }
  if (whom.kind === 'private') return speaker.say('stay.mend');
  if (whom.phone === null) return speaker.say('stay.answer');
  return speaker.say('stay.ring', { phone: whom.phone });
}

function becauseOf(reasons: MoveWord['reasons'], speaker: Speaker): string {
  return [...new Set(reasons.map((reason) => reasonInWords(reason, speaker)))].join('; ');
}

/** "right main pivot: seized, it does not turn" */
export function reasonInWords(
  { sign, pivot, fault }: MoveWord['reasons'][number],
  speaker: Speaker,
): string {
  const what =
    sign === 'found' ? speaker.say(`move.found.${fault ?? ''}`) : speaker.say(`move.sign.${sign}`);
  return pivot === null
    ? what
    : speaker.say('move.joint', { joint: jointInWords(pivot, speaker), what });
}

const KINDS_BY_CODE = new Map(
  PIVOT_KINDS.map((kind) => [kind.replaceAll('-', '').toUpperCase(), kind]),
);

/** "right main pivot", "left link 2"; a name of the shop's own stays as it is written. */
export function jointInWords(code: string, speaker: Speaker): string {
  const [, side = '', name = '', number = ''] = /^([LR])-(.*?)(\d*)$/.exec(code) ?? [];
  const kind = KINDS_BY_CODE.get(name.replaceAll('-', ''));
  if (side === '' || kind === undefined) return code;
  return speaker.say('move.named', {
    side: speaker.say(`move.side.${side}`),
    kind: `${speaker.say(`move.kind.${kind}`)}${number === '' ? '' : ` ${number}`}`,
  });
}
