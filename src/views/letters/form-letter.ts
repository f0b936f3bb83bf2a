import { randomUUID } from 'node:crypto';
import { kept } from '../words/kept.ts';
import { isLine, isLink } from './model-fields.ts';
import type { LetterKind, LetterModel } from './models.ts';
import type { WrittenLetter } from './sheet.ts';
import type { Overrides } from './slots.ts';
import { escaped } from './templates.ts';

/** Name of the reader, registration, and the links: preferences, stopping, the own page, the days. */
type Particulars = readonly [
  string,
  string,
  string | null,
  string | null,
  string | null,
  string | null,
];

/** A text cut where particulars stand: the words before each place and after the last one. */
interface Cut {
  readonly words: readonly string[];
  readonly places: readonly number[];
}

type Form = { readonly [Part in keyof WrittenLetter]: Cut };

// Drawn anew by every process, so that no model can hold them by chance or by design.
const SEAL = randomUUID().replaceAll('-', '');
const MARKS = [0, 1, 2, 3, 4, 5].map((n) => (n < 2 ? `${SEAL}x${n}` : `https://${SEAL}/${n}`));
const [NAME = '', REGISTRATION = '', PREFERENCES = '', STOP = '', PAGE = '', DAYS = ''] = MARKS;
const ANY_MARK = new RegExp(`(${MARKS.join('|')})`);

const FORMS_KEPT = 200;
const forms = new Map<string, Form>();

/**
 * Letters of one round are mostly alike: they differ in the reader's name, the registration and the
 * links. Such a letter is written by `write` once, with marks in these places; every other that is
 * equal in all else is this form filled in, which costs a small part of it. A letter about several
 * cars, or with a particular that cannot stand in a letter, is left to `write` as it is.
 */
export function writeByForm<M extends LetterModel>(
  kind: LetterKind,
  model: M,
  overrides: Overrides,
  write: (model: M) => WrittenLetter,
): WrittenLetter {
  const particulars = particularsOf(model);
  if (particulars === null) return write(model);
  const marked = withMarks(model);
  const key = keyOf([kind, marked, overrides]);
  const form = kept(forms, key, () => formOf(write(marked)), FORMS_KEPT);
  const inHtml = particulars.map((text) => (text === null ? null : escaped(text)));
  return {
    subject: filled(form.subject, particulars),
    text: filled(form.text, particulars),
    html: filled(form.html, inHtml),
  };
}

/** Null where the letter has more or less than one of each, or one that may not be printed. */
function particularsOf(model: LetterModel): Particulars | null {
  // Not every caller has types; a model without these parts is for the check of models to refuse.
  const { owner, organisation, links, cars } = { ...model } as Partial<LetterModel>;
  const car = cars?.length === 1 ? cars[0] : undefined;
  if (owner == null || links == null || car == null) return null;
  // Who keeps the own cars is told so, by the name.
  if (organisation?.name === owner.name) return null;
  const { preferences, stop, owner: page } = links;
  const offer = onlyOffer(model);
  if (offer !== null && !isLink(offer.url)) return null;
  const days = offer?.url ?? null;
  const fit =
    isLine(owner.name) &&
    isLine(car.registration) &&
    [preferences, stop, page].every((link) => link === null || isLink(link));
  return fit ? [owner.name, car.registration, preferences, stop, page, days] : null;
}

/** The one link to days that a letter has; null where there is none, or another number of them. */
function onlyOffer(model: Partial<LetterModel>) {
  const offers = 'offers' in model ? model.offers : undefined;
  return Array.isArray(offers) && offers.length === 1 ? (offers[0] ?? null) : null;
}

function withMarks<M extends LetterModel>(model: M): M {
  const { owner, links, cars } = model;
  const offer = onlyOffer(model);
  const sameCar =
    offer?.registration === cars[0]?.registration ? { registration: REGISTRATION } : {};
  return {
    ...model,
    owner: { ...owner, name: NAME },
    links: {
      ...links,
      preferences: links.preferences === null ? null : PREFERENCES,
      stop: links.stop === null ? null : STOP,
      owner: links.owner === null ? null : PAGE,
    },
    cars: [{ ...cars[0], registration: REGISTRATION }],
    ...(offer === null ? {} : { offers: [{ ...offer, url: DAYS, ...sameCar }] }),
  };
}

/** Equal for two lists only if they are equal in every field. Lengths keep neighbours apart. */
function keyOf(values: readonly unknown[]): string {
  const parts: string[] = [];
  addTo(parts, values);
  return parts.join(' ');
}

function addTo(parts: string[], value: unknown): void {
  if (typeof value === 'string') {
    parts.push(String(value.length), value);
  } else if (typeof value !== 'object' || value === null) {
    parts.push(typeof value, String(value));
  } else {
    const names = Object.keys(value);
    parts.push(Array.isArray(value) ? 'list' : 'record', String(names.length));
    for (const name of names) {
      addTo(parts, name);
      addTo(parts, (value as Record<string, unknown>)[name]);
    }
  }
}

function formOf({ subject, text, html }: WrittenLetter): Form {
  return { subject: cut(subject), text: cut(text), html: cut(html) };
}

function cut(text: string): Cut {
  const pieces = text.split(ANY_MARK);
  return {
    words: pieces.filter((_, i) => i % 2 === 0),
    places: pieces.filter((_, i) => i % 2 === 1).map((mark) => MARKS.indexOf(mark)),
  };
}

function filled({ words, places }: Cut, particulars: readonly (string | null)[]): string {
  const pieces: string[] = [];
  for (const [i, part] of words.entries()) pieces.push(part, particulars[places[i] ?? -1] ?? '');
  return pieces.join('');
}
