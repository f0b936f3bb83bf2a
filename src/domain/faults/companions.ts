import type { Judgement } from './judgement.ts';
import { askedIn, type Asking, mayAsk } from './next-check.ts';
import { faultOf } from './fault-rows.ts';
import { signOf } from './signs.ts';

/** A check that is worth a look although nothing seen asks for it. */
export interface Companion {
  /** Sign id. */
  readonly id: string;
  readonly text: string;
  /** Name of the fault that was proven, and of the one that often comes with it. */
  readonly foundWith: string;
  readonly fault: string;
}

/** What a fault often brings along or came from, by id: common practice, no source. */
const COMPANIONS: Readonly<Record<string, readonly string[]>> = {
  'cover-shrunk': ['coating-porous'],
  'cable-pocket-open': ['stitches-rotted', 'cover-shrunk'],
  'tension-cable-broken': ['cover-shrunk'],
  'edges-flutter-worn': ['retaining-strap-snapped'],
  'former-bodge': ['padding-decayed', 'lining-cut'],
  'padding-decayed': ['bows-out-of-place'],
  'sponge-as-padding': ['mould'],
  mould: ['lining-water-line', 'drains-blocked'],
  'lining-stretched': ['edges-flutter-worn'],
  'lining-water-line': ['window-seal-leaking', 'drains-blocked'],
  'window-frame-rusted': ['window-seal-leaking'],
  'window-seal-leaking': ['window-frame-rusted'],
  'rear-channel-rusted': ['hold-down-tab-rotted'],
  'hold-down-tab-rotted': ['rear-channel-rusted'],
  'pivot-dry': ['pivot-stiff'],
  'pivot-stiff': ['pivot-seized', 'washers-missing'],
  'pivot-seized': ['pivot-sheared'],
  'pivot-sheared': ['frame-twisted', 'washers-missing'],
  'washers-missing': ['hole-oval', 'frame-shakes'],
  'hole-oval': ['washers-missing'],
  'frame-shakes': ['washers-missing', 'hole-oval'],
  'frame-racks': ['pivot-stiff', 'pivot-seized', 'pivot-arm-bent'],
  'pivot-arm-bent': ['frame-twisted'],
  'frame-twisted': ['pivot-arm-bent'],
  'hydraulics-slow': ['fluid-leaking', 'ram-side-loaded'],
  'fluid-leaking': ['hydraulics-slow'],
  'ram-weak': ['fluid-leaking', 'ram-side-loaded'],
  'pump-motor-dead': ['drains-blocked'],
  'drains-blocked': ['pump-motor-dead'],
  'lid-not-releasing': ['elastic-strap-weak'],
};

/**
 * The checks of what often comes with the faults that are proven, as long as nothing was said of them
 * and nothing seen puts them in question by itself. None that moves a top that has to stay.
 */
export function companionsOf(
  { ticked, judged }: Judgement,
  asking: Asking,
  listedFrom: number,
): Companion[] {
  const answered = new Set([...ticked.seen, ...(ticked.ruledOut ?? []), ...asking.skipped]);
  const open = new Set(
    judged.flatMap(({ fault, chance }) => (chance > 0 && chance < listedFrom ? [fault.id] : [])),
  );
  const found = judged.filter(({ fault }) => ticked.seen.includes(fault.proof));
  const told = new Set<string>();
  return found.flatMap(({ fault }) =>
    (COMPANIONS[fault.id] ?? []).flatMap((id) => {
      const other = faultOf(id);
      const sign = signOf(other?.proof ?? '');
      if (other === undefined || sign === undefined || told.has(id) || !open.has(id)) return [];
      if (answered.has(sign.id) || !mayAsk(sign, asking)) return [];
      told.add(id);
      return [{ id: sign.id, text: askedIn(sign), foundWith: fault.item, fault: other.item }];
    }),
  );
}
