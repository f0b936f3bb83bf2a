import type { Fault } from './fault.ts';

/** What is known of the top itself; what is left out may be anything. */
export interface TopTraits {
  readonly material?: 'vinyl' | 'cloth' | undefined;
  readonly window?: 'glass' | 'glass-bonded' | 'clear-vinyl' | undefined;
  readonly powered?: boolean | undefined;
}

/** Faults that only some tops can have: common practice, no source. */
const ONLY: Readonly<Record<string, TopTraits>> = {
  'cold-shrink-back': { material: 'vinyl' },
  'vinyl-hard': { material: 'vinyl' },
  'window-frame-rusted': { window: 'glass' },
  'window-seal-leaking': { window: 'glass' },
  'bonded-glass-lifting': { window: 'glass-bonded' },
  'plastic-window-aged': { window: 'clear-vinyl' },
  'hydraulics-slow': { powered: true },
  'bypass-open': { powered: true },
  'ram-side-loaded': { powered: true },
  'fluid-leaking': { powered: true },
  'ram-weak': { powered: true },
  'power-supply-cut': { powered: true },
  'pump-motor-dead': { powered: true },
  'position-switch-out': { powered: true },
  'lid-not-releasing': { powered: true },
};

/** Whether such a top can have the fault at all. */
export function canHave({ id }: Pick<Fault, 'id'>, top: TopTraits): boolean {
  const only = ONLY[id] ?? {};
  return (['material', 'window', 'powered'] as const).every(
    (trait) => only[trait] === undefined || top[trait] === undefined || top[trait] === only[trait],
  );
}
