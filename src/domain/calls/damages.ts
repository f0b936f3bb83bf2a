/** What can be ruined on a top; each once, however many causes work at it. */
export const DAMAGES = ['cover', 'lining', 'joint', 'frame', 'window', 'lid'] as const;
export type Damage = (typeof DAMAGES)[number];

/** Why it can come to that. */
export const CAUSES = [
  'folded-too-long',
  'folded-damp',
  'oil-overdue',
  'dry',
  'stiff',
  'loose',
  'washer-missing',
  'washer-old',
  'not-looked-at',
  'oval',
  'seized',
  'sheared',
  'frame-moving',
  'cover-shrinking',
  'window-ageing',
  'seal-lost',
] as const;
export type CauseKind = (typeof CAUSES)[number];

/** What each cause ruins in the end. */
export const RUINS: Readonly<Record<CauseKind, Damage>> = {
  'folded-too-long': 'cover',
  'folded-damp': 'lining',
  'oil-overdue': 'joint',
  dry: 'joint',
  stiff: 'joint',
  loose: 'joint',
  'not-looked-at': 'joint',
  oval: 'joint',
  'washer-missing': 'frame',
  'washer-old': 'frame',
  seized: 'frame',
  sheared: 'frame',
  'frame-moving': 'frame',
  // The shrunk cover is to be renewed anyway; what it lets in is what may still be saved.
  'cover-shrinking': 'lining',
  'window-ageing': 'window',
  'seal-lost': 'lid',
};

/** The damage as one who rings would name it. */
export const DAMAGE_WORDS: Readonly<Record<Damage, string>> = {
  cover: 'a new cover',
  lining: 'cleaning mould out of the lining',
  joint: 'drilling out a joint',
  frame: 'a bent frame',
  window: 'a new window',
  lid: 'rust in the lid',
};

/** What the shop does about a cause. */
export const CURES = [
  'ask-to-raise',
  'oil',
  'joint',
  'second-look',
  'washers',
  'repair',
  'frame',
  'look',
  'seal',
  'book-agreed',
] as const;
export type Cure = (typeof CURES)[number];
