import type { SteelClass } from '../../domain/lubrication/corrosion.ts';
import { corrosion as corrosionOf, STEEL_FIGURES } from '../../domain/lubrication/corrosion.ts';
import { climate } from './input-shapes.ts';
import type { Rule } from './rule.ts';
import { trialOf } from './rule.ts';

export const corrosion: Rule = {
  name: 'corrosion',
  does: 'First-year loss of carbon steel and its class, from the climate of a place (ISO 9223:2012).',
  takes: '{temperatureC, humidityPct, so2, chloride}: means of a year; mg/(m²·d) for the last two',
  gives:
    '{micrometresPerYear, class: C1 … CX, or null above the scale; from and to: the same at the ends of the uncertainty}',
  figures: ['corrosion'],
  trial: trialOf({
    input: climate,
    answer: corrosionOf,
    explain: (
      { micrometresPerYear, class: taken, from, to },
      { temperatureC, humidityPct, so2, chloride },
    ) => [
      `${temperatureC} °C, ${humidityPct} % humidity, SO2 ${so2} and chloride ${chloride} mg/(m²·d)`,
      `dose-response function: ${micrometresPerYear.toFixed(2)} µm in the first year`,
      taken === null
        ? 'above CX, the highest class'
        : `class ${taken}: up to ${STEEL_FIGURES[`upTo${taken}`].value} µm/a (ISO 9223:2012 Table 2)`,
      `estimated, not measured: the true rate may be ${from.micrometresPerYear.toFixed(1)} to ${to.micrometresPerYear.toFixed(1)} µm/a, ${classes(from.class, to.class)} (ISO 9223:2012 Annex A; −33 to +50 % from memory)`,
    ],
  }),
};

const ABOVE = 'above CX';

function classes(from: SteelClass | null, to: SteelClass | null): string {
  if (from === to) return from === null ? `${ABOVE} at both ends` : `class ${from} at both ends`;
  return `class ${from ?? ABOVE} to ${to ?? ABOVE}`;
}
