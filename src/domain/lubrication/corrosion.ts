import type { FigureTable } from '../figures/figure.ts';
import { valuesOf } from '../figures/figure.ts';

/** Corrosivity of a place after ISO 9223, from very low to extreme. */
export type SteelClass = 'C1' | 'C2' | 'C3' | 'C4' | 'C5' | 'CX';

/** Means of one year at a place. */
export interface Climate {
  /** Air temperature, °C. */
  readonly temperatureC: number;
  /** Relative humidity, %. */
  readonly humidityPct: number;
  /** Deposition of sulphur dioxide, mg/(m²·d). */
  readonly so2: number;
  /** Deposition of chloride, mg/(m²·d). */
  readonly chloride: number;
}

export const STEEL_CLASSES: readonly SteelClass[] = ['C1', 'C2', 'C3', 'C4', 'C5', 'CX'];

const TABLE_2 = 'ISO 9223:2012 Table 2, carbon steel, first year';
const MIDDLE = 'about the middle of the class in ISO 9223:2012 Table 2; the choice is our own';

/** Upper bounds of the steel classes, and the rate that stands for each of them. */
export const STEEL_FIGURES = {
  upToC1: { value: 1.3, unit: 'µm/a', mark: 'published, secondary copy', source: TABLE_2 },
  upToC2: { value: 25, unit: 'µm/a', mark: 'published, secondary copy', source: TABLE_2 },
  upToC3: { value: 50, unit: 'µm/a', mark: 'published, secondary copy', source: TABLE_2 },
  upToC4: { value: 80, unit: 'µm/a', mark: 'published, secondary copy', source: TABLE_2 },
  upToC5: { value: 200, unit: 'µm/a', mark: 'published, secondary copy', source: TABLE_2 },
  upToCX: { value: 700, unit: 'µm/a', mark: 'published, secondary copy', source: TABLE_2 },
  rateC1: { value: 1, unit: 'µm/a', mark: 'shop rule', source: MIDDLE, min: 0.1, max: 1.3 },
  rateC2: { value: 13, unit: 'µm/a', mark: 'shop rule', source: MIDDLE, min: 1.3, max: 25 },
  rateC3: { value: 37.5, unit: 'µm/a', mark: 'shop rule', source: MIDDLE, min: 25, max: 50 },
  rateC4: { value: 65, unit: 'µm/a', mark: 'shop rule', source: MIDDLE, min: 50, max: 80 },
  rateC5: { value: 140, unit: 'µm/a', mark: 'shop rule', source: MIDDLE, min: 80, max: 200 },
  rateCX: { value: 450, unit: 'µm/a', mark: 'shop rule', source: MIDDLE, min: 200, max: 700 },
} as const satisfies FigureTable;

const UNCERTAINTY =
  'ISO 9223:2012, Annex A, gives the uncertainty of a rate that was estimated, not measured; its numbers are from memory';
const FUNCTION = 'ISO 9223:2012, dose-response function for carbon steel';

/** Constants of the dose-response function, in the order in which the formula has them. */
export const DOSE_RESPONSE_FIGURES = {
  so2Factor: { value: 1.77, unit: 'µm/a', mark: 'published, secondary copy', source: FUNCTION },
  so2Power: { value: 0.52, unit: '1', mark: 'published, secondary copy', source: FUNCTION },
  so2Humidity: { value: 0.02, unit: '1/%', mark: 'published, secondary copy', source: FUNCTION },
  turningPoint: { value: 10, unit: '°C', mark: 'published, secondary copy', source: FUNCTION },
  coldSlope: { value: 0.15, unit: '1/°C', mark: 'published, secondary copy', source: FUNCTION },
  warmSlope: { value: -0.054, unit: '1/°C', mark: 'published, secondary copy', source: FUNCTION },
  saltFactor: { value: 0.102, unit: 'µm/a', mark: 'published, secondary copy', source: FUNCTION },
  saltPower: { value: 0.62, unit: '1', mark: 'published, secondary copy', source: FUNCTION },
  saltHumidity: { value: 0.033, unit: '1/%', mark: 'published, secondary copy', source: FUNCTION },
  saltWarmth: { value: 0.04, unit: '1/°C', mark: 'published, secondary copy', source: FUNCTION },
  lowestPct: { value: -33, unit: '%', mark: 'from memory', source: UNCERTAINTY },
  highestPct: { value: 50, unit: '%', mark: 'from memory', source: UNCERTAINTY },
} as const satisfies FigureTable;

/**
 * The range of the measurements behind the function (published, secondary copy); outside it the
 * function says nothing, and callers should refuse.
 */
export const CLIMATE_BOUNDS: Readonly<Record<keyof Climate, { min: number; max: number }>> = {
  temperatureC: { min: -17.1, max: 28.7 },
  humidityPct: { min: 34, max: 93 },
  so2: { min: 0.7, max: 150.4 },
  chloride: { min: 0.4, max: 760.5 },
};

/** First-year loss of carbon steel in µm/a (ISO 9223:2012 dose-response function). */
export function corrosionRate(climate: Climate): number {
  const f = valuesOf(DOSE_RESPONSE_FIGURES);
  const { temperatureC, humidityPct, so2, chloride } = climate;
  const slope = temperatureC <= f.turningPoint ? f.coldSlope : f.warmSlope;
  const warmth = slope * (temperatureC - f.turningPoint);
  const bySo2 = f.so2Factor * so2 ** f.so2Power * Math.exp(f.so2Humidity * humidityPct + warmth);
  const bySalt =
    f.saltFactor *
    chloride ** f.saltPower *
    Math.exp(f.saltHumidity * humidityPct + f.saltWarmth * temperatureC);
  return bySo2 + bySalt;
}

/** The class of a first-year loss; a bound belongs to the class below it. Null above the scale. */
export function steelClass(micrometresPerYear: number): SteelClass | null {
  const figures = valuesOf(STEEL_FIGURES);
  return STEEL_CLASSES.find((name) => micrometresPerYear <= figures[`upTo${name}`]) ?? null;
}

/** A rate that was estimated, its class, and between which the true ones may well lie. */
export interface Corrosion {
  readonly micrometresPerYear: number;
  readonly class: SteelClass | null;
  readonly from: { readonly micrometresPerYear: number; readonly class: SteelClass | null };
  readonly to: { readonly micrometresPerYear: number; readonly class: SteelClass | null };
}

/**
 * Rate and class that a climate gives (`corrosionRate`, `steelClass`), with the uncertainty that ISO
 * 9223 gives for a rate that nobody measured: a third less to a half more.
 */
export function corrosion(climate: Climate): Corrosion {
  const { lowestPct, highestPct } = valuesOf(DOSE_RESPONSE_FIGURES);
  const rate = corrosionRate(climate);
  const at = (micrometresPerYear: number) => ({
    micrometresPerYear,
    class: steelClass(micrometresPerYear),
  });
  const from = at(rate * (1 + lowestPct / 100));
  const to = at(rate * (1 + highestPct / 100));
  return { ...at(rate), from, to };
}
