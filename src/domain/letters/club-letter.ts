/** The longest subject of a letter of the club, in characters: what a list of mail shows of one. */
export const CLUB_LETTER_SUBJECT = 120;
/** The longest text: some two pages, far under what mail programs cut off. */
export const CLUB_LETTER_TEXT = 6_000;
/** The longest paragraph, as letters take it. */
export const CLUB_LETTER_PARAGRAPH = 2_000;

/** The paragraphs of a typed text: parted by blank lines, single line breaks kept. */
export function paragraphsOf(text: string): string[] {
  return text
    .replaceAll(/\r\n?/g, '\n')
    .split(/\n[ \t]*\n+/)
    .map((part) => part.trim())
    .filter((part) => part !== '');
}

/** Why a letter of the club does not go to a member. */
export type NotReached =
  | 'has-it'
  | 'not-agreed'
  | 'unreachable'
  | 'no-car'
  | 'must-stay'
  | 'same-address';

/** What decides whether a member gets a letter of the club. */
export interface MemberToReach {
  /** Letters to it came back, or somebody complained. */
  readonly unreachable: boolean;
  /** Said by a press of their own that they want such letters, and did not take it back. */
  readonly agreed: boolean;
  readonly cars: number;
  /** A top of theirs must not be moved. */
  readonly mustStay: boolean;
  /** This letter was written to them already. */
  readonly hasIt: boolean;
  /** Somebody else of this address gets it. */
  readonly sameAddress: boolean;
}

/**
 * Why a member does not get a letter of the club, the reason that weighs most; null for one who does.
 * Whoever has a top that must stay is left out: nobody can tell what a text that was typed for all asks
 * to be moved.
 */
export function whyNotReached(member: MemberToReach): NotReached | null {
  if (member.hasIt) return 'has-it';
  if (member.unreachable) return 'unreachable';
  if (!member.agreed) return 'not-agreed';
  if (member.cars === 0) return 'no-car';
  if (member.mustStay) return 'must-stay';
  return member.sameAddress ? 'same-address' : null;
}
