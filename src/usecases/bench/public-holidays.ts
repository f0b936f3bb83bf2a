import { createRequire } from 'node:module';
import { Worker } from 'node:worker_threads';
import type { Day } from '../../domain/calendar/day.ts';

/** A country, and of it a state and a region, by the names that date-holidays gives them. */
export interface HolidayPlace {
  readonly country: string;
  readonly state: string | null;
  readonly region: string | null;
}

/** A day off work by law. */
export interface PublicHoliday {
  readonly on: Day;
  readonly words: string;
}

/** Names by code, in the order of the names. */
export type PlaceNames = readonly (readonly [code: string, name: string])[];

/** The places to choose from below a place; empty lists where it has none. */
export interface PlacesBelow {
  readonly countries: PlaceNames;
  readonly states: PlaceNames;
  readonly regions: PlaceNames;
}

/**
 * The public holidays of a place in the years named, in order, as date-holidays knows them (its data
 * follow the encyclopaedia articles that it names). Only days that are off by law for everybody: no
 * bank, school or half holidays. A place that it does not know has none.
 */
export async function publicHolidays(
  { country, state, region }: HolidayPlace,
  years: readonly number[],
): Promise<PublicHoliday[]> {
  const names = [country, state ?? '', region ?? ''];
  return (await kept(`${names.join(' ')} ${years.join(' ')}`, () =>
    ask({ names, years }),
  )) as PublicHoliday[];
}

/** The countries, with the states of the one and the regions of the other that are chosen. */
export async function holidayPlaces(
  chosen: Partial<HolidayPlace> & { readonly language: string },
): Promise<PlacesBelow> {
  const names = [chosen.country ?? '', chosen.state ?? ''];
  const { language } = chosen;
  return (await kept(`${names.join(' ')} in ${language}`, () =>
    ask({ names, language }),
  )) as PlacesBelow;
}

const MOST_KEPT = 400;
const answers = new Map<string, Promise<unknown>>();

function kept(key: string, find: () => Promise<unknown>): Promise<unknown> {
  const known = answers.get(key);
  if (known !== undefined) return known;
  if (answers.size >= MOST_KEPT) answers.clear();
  const found = find();
  answers.set(key, found);
  // What failed is asked again next time.
  found.catch(() => answers.delete(key));
  return found;
}

/**
 * date-holidays takes half a second and 30 MB to load, for all the places of the world. So it works
 * beside, in a thread that ends when it has answered, and no request waits for it.
 */
function ask(question: object): Promise<unknown> {
  const path = createRequire(import.meta.url).resolve('date-holidays');
  return new Promise((resolve, reject) => {
    const worker = new Worker(READER, { eval: true, workerData: { ...question, path } });
    worker.once('message', resolve);
    worker.once('error', reject);
  });
}

const READER = `
const { parentPort, workerData: { path, names, years, language } } = require('node:worker_threads');
const Holidays = require(path);
const DAY = 86400000;
const dayOf = (text) => text.slice(0, 10);
function daysOf({ date, start, end }) {
  const days = Math.max(1, Math.round((end - start) / DAY));
  const first = Date.parse(dayOf(date) + 'T00:00:00Z');
  return Array.from({ length: days }, (_, n) => dayOf(new Date(first + n * DAY).toISOString()));
}
function holidays() {
  const place = new Holidays(...names.filter(Boolean), { types: ['public'] });
  const found = years.flatMap((year) => place.getHolidays(year) || []);
  return found.flatMap((one) =>
    one.end - one.start < DAY / 2 ? [] : daysOf(one).map((on) => ({ on, words: one.name })),
  );
}
function places() {
  const all = new Holidays();
  const listed = (of) =>
    Object.entries(of || {}).sort((a, b) => a[1].localeCompare(b[1], language));
  const [country, state] = names;
  return {
    countries: listed(all.getCountries(language)),
    states: country ? listed(all.getStates(country, language)) : [],
    regions: country && state ? listed(all.getRegions(country, state, language)) : [],
  };
}
parentPort.postMessage(years === undefined ? places() : holidays());
`;
