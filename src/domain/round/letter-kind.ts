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
  'must-stay',
  'care-note',
  'visit-offered',
  'visit-booked',
  'visit-moved',
  'visit-called-off',
  'visit-report',
  'warranty-ending',
  'care-day-asked',
  'estimate',
  'club-letter',
] as const;
export type LetterKind = (typeof LETTER_KINDS)[number];

/**
 * What an owner can refuse, each by itself. Letters about work in hand have no topic to refuse, nor has
 * the one that a top must stay as it is: it warns of harm to people and comes once.
 */
export const TOPICS = ['reminders', 'folded-limit', 'care-notes', 'offers', 'club-news'] as const;
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
  'must-stay': null,
  'care-note': 'care-notes',
  'warranty-ending': 'reminders',
  'visit-offered': 'offers',
  'visit-booked': null,
  'visit-moved': null,
  'visit-called-off': null,
  'visit-report': null,
  'care-day-asked': 'offers',
  estimate: null,
  'club-letter': 'club-news',
};

/** Whether letters of a topic go only to those who said that they want them, by a press of their own. */
export function isByConsent(topic: Topic): boolean {
  return topic === 'club-news';
}

/** The topic that a kind of letter belongs to; null for those that cannot be refused. */
export function topicOf(kind: LetterKind): Topic | null {
  return TOPIC_OF[kind];
}

/**
 * The kinds that share one letter a day, the one whose deed comes first at the head: it names the
 * letter. Alarms stay by themselves, and what somebody did to a visit is told at once.
 */
export const SHARED_KINDS = [
  'care-day-asked',
  'lubrication-late',
  'lubrication-due',
  'look-late',
  'look-due',
  'visit-offered',
  'lubrication-ahead',
  'warranty-ending',
  'care-note',
] as const satisfies readonly LetterKind[];

/** Whether a kind shares the letter of the day. */
export function isShared(kind: LetterKind): boolean {
  return (SHARED_KINDS as readonly LetterKind[]).includes(kind);
}

/** Whether a kind has a letter of its own, at once, whatever else was said that day: it was asked for. */
export function isAskedFor(kind: LetterKind): boolean {
  return kind === 'estimate';
}

/** The kind of an occasion, with which its key begins. */
export function kindInKey(key: string): LetterKind {
  const kind = LETTER_KINDS.find((one) => key.startsWith(`${one}:`));
  if (kind === undefined) throw new RangeError(`no kind of letter in the key ${key}`);
  return kind;
}

/** Letters that warn of harm: they wait for no day, go before care and are tried again more often. */
export function isAlarm(kind: LetterKind): boolean {
  return isFoldedAlarm(kind) || kind === 'must-stay';
}

/** Letters that warn of a top folded too long: an organisation may allow them at night. */
export function isFoldedAlarm(kind: LetterKind): boolean {
  return kind === 'folded-nearing' || kind === 'folded-over' || kind === 'folded-still';
}
