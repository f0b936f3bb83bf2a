import type { Mark } from '../figures/figure.ts';

/** What goes on a joint, and what must not. */
export interface Lubricant {
  readonly name: string;
  readonly how: string;
  readonly not: string;
  readonly mark: Mark;
  readonly source: string;
}

/** Voices differ on plastic: each joint keeps what it was given, and a shop may choose otherwise. */
export const LUBRICANTS = {
  'light-oil': {
    name: 'light machine oil',
    how: 'drop by drop, a cloth under the joint, wiped off; it creeps in and keeps water out',
    not: 'no flooding, no heavy grease',
    mark: 'common practice, no source',
    source: 'trimmers on pins with plastic spacers; some say silicone only wherever plastic is',
  },
  'dry-ptfe': {
    name: 'dry PTFE film',
    how: 'close to cloth or a light lining: it stains nothing and holds no grit',
    not: 'no oil that creeps to the cloth',
    mark: 'common practice, no source',
    source: 'trimmers on joints beside cloth',
  },
  'thin-grease': {
    name: 'thin white grease',
    how: 'metal on metal: a thin smear by swab',
    not: 'none sprayed about, none on plastic; grit left in it grinds',
    mark: 'from memory',
    source: 'newspaper and television columns, which are no handbooks',
  },
} as const satisfies Readonly<Record<string, Lubricant>>;

const BESIDE_CLOTH: ReadonlySet<string> = new Set(['stick', 'header-hinge', 'rear-bow']);

/**
 * The lubricant to propose for a joint: dry film beside cloth, light oil where plastic washers sit, a
 * smear of grease where metal runs on metal. Of a ram the pin alone, never the rod.
 */
export function lubricantFor({
  kind,
  washersExpected,
}: {
  readonly kind: string;
  readonly washersExpected: number;
}): Lubricant {
  if (BESIDE_CLOTH.has(kind)) return LUBRICANTS['dry-ptfe'];
  return LUBRICANTS[washersExpected > 0 && kind !== 'ram' ? 'light-oil' : 'thin-grease'];
}

/** What is proposed for a joint, with who says so: for whoever records the visit. */
export function proposalInWords(joint: {
  readonly kind: string;
  readonly washersExpected: number;
}): string {
  const { name, how, not, mark } = lubricantFor(joint);
  const rod = joint.kind === 'ram' ? '; the pin alone, never the rod' : '';
  return `Proposed: ${name}, ${how}; ${not}${rod} (${mark}).`;
}
