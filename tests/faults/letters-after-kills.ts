/** What became of letters whose sending process was killed again and again. */
export interface LettersAfterKills {
  readonly name: string;
  /** What the moments were drawn from. */
  readonly seed: number;
  readonly kills: number;
  readonly letters: number;
  /** Letters that arrived nowhere and that nobody is told about. The goal is 0. */
  readonly lost: number;
  /** Letters still on their way long after the last kill. The goal is 0. */
  readonly stuck: number;
  /** Letters that came more than once, always under their own Message-ID: the answer to their dot was lost. */
  readonly repeated: number;
  /** Letters that came more than twice. The goal is 0. */
  readonly thirdCopies: number;
  /** Letters of which the copies differ in any byte, the Date for one. The goal is 0. */
  readonly altered: number;
  /** Messages whose Message-ID is no letter's. The goal is 0. */
  readonly strangers: number;
  /** Letters of which the fate stayed unknown after their one resend: shown to a person. */
  readonly held: number;
  readonly heldAndNotArrived: number;
  readonly seconds: number;
}

/** What has to be nothing. */
export const LETTER_GOALS = ['lost', 'stuck', 'thirdCopies', 'altered', 'strangers'] as const;
