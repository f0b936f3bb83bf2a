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
