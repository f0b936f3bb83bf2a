/** A frame one side of which starts or arrives after the other. */
export const ONE_SIDE_LAGS = 'frame-racks';

/**
 * Faults found on a visit that decide by themselves whether the top may be moved. `leave`: moving it
 * can break it further or hurt somebody; `with-care`: it can be moved by somebody who knows of it. What
 * must not be done with each is the trade's (common practice, no source); the step from there to these
 * two words is a shop rule. Other faults do not speak here.
 */
export const MOVE_FINDINGS: Readonly<Record<string, 'leave' | 'with-care'>> = {
  'pivot-seized': 'leave',
  'pivot-sheared': 'leave',
  'hole-oval': 'leave',
  'pivot-arm-bent': 'leave',
  'ram-side-loaded': 'leave',
  // What holds one side back is not known yet, and every further move bends the frame against it.
  [ONE_SIDE_LAGS]: 'leave',
  // Each fold peels the bond further, and the pane falls: it bursts, on somebody or in the well.
  'bonded-glass-lifting': 'leave',
  // The pane still hangs in its seal; a fold may throw it out where the flange has gone thin.
  'window-frame-rusted': 'with-care',
  'pivot-stiff': 'with-care',
  'washers-missing': 'with-care',
  'frame-shakes': 'with-care',
  'frame-twisted': 'with-care',
  // Nothing breaks while such a top is moved by somebody who knows that it may sink, or stand still.
  'hydraulics-slow': 'with-care',
  'fluid-leaking': 'with-care',
  'ram-weak': 'with-care',
  'power-supply-cut': 'with-care',
  'pump-motor-dead': 'with-care',
  'position-switch-out': 'with-care',
  'lid-not-releasing': 'with-care',
  'bypass-open': 'with-care',
  'tension-cable-broken': 'with-care',
  'retaining-strap-snapped': 'with-care',
  'hold-down-tab-rotted': 'with-care',
  'vinyl-hard': 'with-care',
  'plastic-window-aged': 'with-care',
};

const OF_THE_COVER: ReadonlySet<string> = new Set(['bonded-glass-lifting']);

/** Whether a finding forbids moving a frame whatever cover is put on it; one of the old cover goes with it. */
export function forbidsOnEveryTop(fault: string): boolean {
  return MOVE_FINDINGS[fault] === 'leave' && !OF_THE_COVER.has(fault);
}
