import type { OwnFigures } from './figure-tables.ts';
import { figuresFor } from './figure-tables.ts';

/** The figures that decide which letters are owed and what they say. */
export type LetterFigures = ReturnType<typeof letterFiguresOf>;

/** The letters' figures with an organisation's own numbers in them. */
export function letterFiguresOf(own: OwnFigures) {
  return {
    round: figuresFor('round', own),
    folding: figuresFor('folding', own),
    advice: figuresFor('advice', own),
    careDay: figuresFor('careDay', own),
    due: figuresFor('due', own),
    look: figuresFor('look', own),
    pivots: figuresFor('pivots', own),
    frame: figuresFor('frame', own),
    foldFloor: figuresFor('foldFloor', own),
  } as const;
}

const DEFAULTS: LetterFigures = letterFiguresOf({});

/** An organisation's figures; the defaults where it has none of its own. */
export function figuresOf(
  organisation: { readonly figures?: LetterFigures | undefined } | undefined,
): LetterFigures {
  return organisation?.figures ?? DEFAULTS;
}
