import type { MayMove } from '../may-move/move-verdict.ts';
import type { CarFacts } from './car-facts.ts';
import type { LetterKind } from './letter-kind.ts';
import type { Occasion } from './occasion.ts';

const CARE = ':care';
const STAY = ':stay';

/**
 * What the key of an occasion ends with for what its letter says about moving: nothing, that it is to
 * be done with care, or that the top must stay, with the day of the repair where one is booked. A
 * letter whose mark is not that of the car says something untrue about moving.
 */
export function moveMark({ verdict, repairOn }: MayMove): string {
  if (verdict === 'free') return '';
  if (verdict === 'with-care') return CARE;
  return repairOn === null ? STAY : `${STAY}-${repairOn}`;
}

/** Whether what was said under a key began with a top that must stay as it is. */
export function isOfStay(key: string): boolean {
  return markIn(key).startsWith(STAY);
}

/** The mark at the end of a key. */
export function markIn(key: string): string {
  return /:(?:care|stay(?:-[\d-]+)?)$/.exec(key)?.[0] ?? '';
}

type Keyed = Pick<Occasion, 'key' | 'alike' | 'alikeFrom' | 'stay'>;

/**
 * The key of an occasion with the mark of its car, and the keys under which it counts as said already.
 * That a top is to be moved with care is no reason to say the same thing again; that it must not be
 * moved is. Once that was said, a booking is not: it has a letter of its own.
 */
export function keyed(base: string, mayMove: MayMove): Keyed {
  const key = `${base}${moveMark(mayMove)}`;
  if (mayMove.verdict === 'leave') {
    const booked = mayMove.repairOn !== null;
    return { key, stay: true, alike: [], ...(booked ? { alikeFrom: `${base}${STAY}` } : {}) };
  }
  return { key, stay: false, alike: [base, `${base}${CARE}`] };
}

/** The same for what does not ask to move the top: said once, whatever the words about moving were. */
export function keyedOnce(base: string, mayMove: MayMove): Keyed {
  return {
    ...keyed(base, mayMove),
    alike: [base, `${base}${CARE}`],
    alikeFrom: `${base}${STAY}`,
  };
}

/** Whether an occasion was written about, under its own key or one that says as much. */
export function wasTold({ key, alike, alikeFrom }: Keyed, keys: ReadonlySet<string>): boolean {
  if (keys.has(key) || alike.some((other) => keys.has(other))) return true;
  if (alikeFrom === undefined) return false;
  for (const other of keys) if (other.startsWith(alikeFrom)) return true;
  return false;
}

/**
 * Whether what a letter says of a car still holds; `owed` are the keys of all that is true now. Advice
 * does not become untrue with time, but with what may be done to the top; weeks to choose from are for
 * tops that may be moved; other letters about visits are ended by the deed itself.
 */
export function stillHolds(
  { kind, key }: { readonly kind: LetterKind; readonly key: string },
  { mayMove }: Pick<CarFacts, 'mayMove'>,
  owed: ReadonlySet<string>,
): boolean {
  if (kind === 'care-note') return mayMove.verdict !== 'leave' && markIn(key) === moveMark(mayMove);
  // What a club asks of all its members may move a top: such a car hears nothing but that it must stay.
  if (kind === 'club-letter') return mayMove.verdict !== 'leave';
  if (kind === 'visit-offered') return mayMove.verdict !== 'leave';
  return kind.startsWith('visit-') || owed.has(key);
}
