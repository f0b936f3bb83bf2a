import type { FoldFloor } from '../../../domain/advice/fold-floor.ts';
import { untoldOf, untoldInWords } from '../../../domain/lubrication/keeping.ts';
import type { CarRecord } from '../../../usecases/own/car-records.ts';
import type { TopRecord } from '../../../usecases/own/top-records.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { patternInWords } from '../frame/pattern-words.ts';

/** "Sample Roadster, 2004, green", as far as it is known. */
export function carInWords({
  make,
  model,
  year,
  colour,
}: Pick<CarRecord, 'make' | 'model' | 'year' | 'colour'>): string {
  const name = [make, model].filter((word) => word !== null).join(' ');
  return [name, year === null ? '' : String(year), colour ?? ''].filter(Boolean).join(', ');
}

/** Of what a top is made, the shop's own words after ours. */
export function topInWords(top: TopRecord, { say, tell }: Voice): string {
  const named = (word: string, own: string | null) =>
    own === null ? word : say('car.made.own', { word, own });
  const material = say(`material.${top.cover.material}`);
  const colour = top.coverColour;
  const cover = colour === null ? material : say('car.made.colour', { colour, material });
  const window = say('car.made.window', { window: say(`window.${top.window}`) });
  const reference = top.makersReference;
  return [
    named(cover, top.coverName),
    named(window, top.windowMade),
    say(top.powered ? 'car.made.powered' : 'car.made.hand'),
    say('car.made.frame', { pattern: patternInWords(top.framePattern, tell) }),
    ...(reference === null ? [] : [say('car.made.reference', { reference })]),
  ].join(', ');
}

/** How a car is kept, and what nobody has told of it. */
export function keptInWords({ keeping }: Pick<CarRecord, 'keeping'>, { say, tell }: Voice): string {
  const { place, salt, use } = keeping;
  const untold = untoldOf(keeping);
  return [
    ...(place === null ? [] : [say(`place.${place}`)]),
    ...(salt === null ? [] : [say(`keeping-salt.${salt}`)]),
    ...(use === null ? [] : [say('car.driven', { use: say(`use.${use}`) })]),
    ...(untold.length === 0
      ? []
      : [say('car.untold', { what: untoldInWords(untold).split(', ').map(tell).join(', ') })]),
  ].join(', ');
}

/** The car's handbook has the first word; without it the shop rule by material is shown as such. */
export function handbookInWords(
  { handbook }: Pick<CarRecord, 'handbook'>,
  floor: FoldFloor | null,
  { say, tell, count, locale }: Voice,
): string {
  const { foldedLimitDays, foldFloorCelsius } = handbook;
  const days = count('car.days', foldedLimitDays);
  if (foldFloorCelsius !== null) {
    return say('car.handbook.cold', { days, celsius: locale.number(foldFloorCelsius) });
  }
  if (floor === null) return say('car.handbook', { days });
  const celsius = locale.number(floor.celsius);
  return say('car.handbook.rule', { days, celsius, because: tell(floor.because) });
}
