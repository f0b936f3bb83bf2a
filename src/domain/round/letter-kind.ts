/** Every kind of letter that Foldkeep writes. */
export const LETTER_KINDS = [
  'lubrication-ahead',
  'lubrication-due',
  'lubrication-late',
  'look-due',
  'look-late',
  'folded-nearing',
  'folded-over',
  'folded-still',
  'care-note',
  'visit-offered',
  'visit-booked',
  'visit-moved',
  'visit-called-off',
  'visit-report',
  'warranty-ending',
] as const;
export type LetterKind = (typeof LETTER_KINDS)[number];

/** What an owner can refuse, each by itself; letters about work in hand have no topic to refuse. */
export const TOPICS = ['reminders', 'folded-limit', 'care-notes', 'offers'] as const;
export type Topic = (typeof TOPICS)[number];

const TOPIC_OF: Readonly<Record<LetterKind, Topic | null>> = {
  'lubrication-ahead': 'reminders',
  'lubrication-due': 'reminders',
  'lubrication-late': 'reminders',
  'look-due': 'reminders',
  'look-late': 'reminders',
  'folded-nearing': 'folded-limit',
  'folded-over': 'folded-limit',
  'folded-still': 'folded-limit',
  'care-note': 'care-notes',
  'warranty-ending': 'reminders',
  'visit-offered': 'offers',
  'visit-booked': null,
  'visit-moved': null,
  'visit-called-off': null,
  'visit-report': null,
};

/** The topic that a kind of letter belongs to; null for letters about work in hand. */
export function topicOf(kind: LetterKind): Topic | null {
  return TOPIC_OF[kind];
}

/** Letters that warn of harm going on now: they go before care and may be allowed at night. */
export function isAlarm(kind: LetterKind): boolean {
  return kind === 'folded-nearing' || kind === 'folded-over' || kind === 'folded-still';
}
