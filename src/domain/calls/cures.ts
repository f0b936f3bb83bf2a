import type { CallValues } from './call-figures.ts';
import type { Cause } from './causes.ts';
import type { Cure, Damage } from './damages.ts';

/** One thing that the shop can do for a car now, and the causes that it ends. */
export interface Deed {
  readonly words: string;
  readonly minutes: number;
  readonly cures: readonly Cause[];
}

/**
 * Everything worth offering for these causes: each cure by itself, and one visit for all that is done on
 * the bench. `oilMinutes` is the length of an oiling in this shop; a visit for more takes the rest
 * beside it. What a booked visit will cure is not offered again. Of a top that must stay as it is nobody is
 * asked to raise it or to have it oiled: it is repaired first.
 */
export function deedsFor(
  causes: readonly Cause[],
  {
    oilMinutes,
    visitBooked,
    mustStay,
  }: { readonly oilMinutes: number; readonly visitBooked: boolean; readonly mustStay: boolean },
  values: CallValues,
): Deed[] {
  const folded = mustStay ? [] : causes.filter(({ cure }) => cure === 'ask-to-raise');
  const bench = visitBooked
    ? []
    : causes.filter(({ cure }) => cure !== 'ask-to-raise' && !(mustStay && cure === 'oil'));
  const kinds = [...new Set(bench.map(({ cure }) => cure))];
  const minutesOf = (cure: Cure) => benchMinutes(cure, oilMinutes, values);
  const single = kinds.map((cure): Deed => {
    const cures = bench.filter((cause) => cause.cure === cure);
    const times = cure === 'oil' || cure === 'book-agreed' ? 1 : cures.length;
    return { words: offer(cure, cures), minutes: minutesOf(cure) * times, cures };
  });
  const whole = single.reduce((sum, { minutes }) => sum + minutes, 0);
  return [
    ...(folded.length === 0
      ? []
      : [{ words: askWords(folded), minutes: values.ringMinutes, cures: folded }]),
    ...single,
    ...(single.length > 1
      ? [{ words: `offer one visit for ${listed(single)}`, minutes: whole, cures: bench }]
      : []),
  ];
}

function benchMinutes(cure: Cure, oilMinutes: number, values: CallValues): number {
  const minutes: Readonly<Record<Exclude<Cure, 'ask-to-raise'>, number>> = {
    oil: oilMinutes,
    joint: values.jointMinutes,
    washers: values.washerMinutes,
    repair: values.repairMinutes,
    frame: values.frameMinutes,
    look: values.lookMinutes,
    'second-look': values.lookMinutes,
    seal: values.sealMinutes,
    // Its bench time is spent whichever week it is done in: only the call is counted.
    'book-agreed': values.ringMinutes,
  };
  return cure === 'ask-to-raise' ? values.ringMinutes : minutes[cure];
}

function askWords(folded: readonly Cause[]): string {
  const damp = folded.some(({ kind }) => kind === 'folded-damp');
  return damp ? 'ring: ask to raise it and let it dry' : 'ring: ask to raise it';
}

function offer(cure: Cure, cures: readonly Cause[]): string {
  switch (cure) {
    case 'oil':
      return 'offer an oiling';
    case 'joint':
    case 'washers':
    case 'repair':
      return `offer ${WORK[cure]}${where(cures, cure === 'repair' ? 'of' : 'at')}`;
    case 'frame':
      return 'offer to set the frame right';
    case 'look':
      return `offer a look: ${cures.map(({ words }) => words).join(', ')}`;
    case 'second-look':
      return 'offer a second look at the joint that was stiff or was repaired';
    case 'seal':
      return 'offer a new tailgate seal';
    case 'book-agreed':
      return 'ring: book the agreed work';
    case 'ask-to-raise':
      return askWords(cures);
  }
}

const WORK = { joint: 'a look', washers: 'new washers', repair: 'a repair' } as const;

/** " at the left main": where the words of the causes begin with the joint. */
function where(cures: readonly Cause[], at: 'at' | 'of'): string {
  const joints = cures.flatMap(({ words }) =>
    / (?:is|has) /.exec(words) ? [words.split(/ (?:is|has) /)[0] ?? ''] : [],
  );
  if (joints.length === 0) return '';
  return ` ${at} the ${joints.slice(0, 2).join(' and the ')}${joints.length > 2 ? ' and more' : ''}`;
}

function listed(deeds: readonly Deed[]): string {
  const words = deeds.map(({ words: one }) => one.replace(/^offer (?:to )?|^ring: book /, ''));
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1) ?? ''}`;
}

/** Hours that each damage costs: bench time and parts. */
export function costOf(damage: Damage, values: CallValues): number {
  const costs: Readonly<Record<Damage, number>> = {
    cover: values.coverHours + values.coverPartsHours,
    lining: values.liningHours + values.liningPartsHours,
    joint: values.repairHours + values.repairPartsHours,
    frame: values.frameHours + values.framePartsHours,
    window: values.windowHours + values.windowPartsHours,
    lid: values.lidHours + values.lidPartsHours,
  };
  return costs[damage];
}
