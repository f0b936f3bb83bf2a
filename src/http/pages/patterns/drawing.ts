import type { SmallForm } from '../frame/small-form.ts';
import { numberIn, textIn } from '../shop/form-body.ts';

/** Joints that a form has on each side. */
export const MOST_JOINTS = 16;

interface Drawn {
  readonly row: number;
  readonly code: string;
  readonly side: 'L' | 'R';
  readonly kind: string | undefined;
  readonly washersExpected: number | string;
  readonly x: number | string;
  readonly y: number | string;
}

/** The joints that a form draws, left side first, each from the body forward, with their rows. */
function drawnIn(form: SmallForm): Drawn[] {
  const rows = Array.from({ length: MOST_JOINTS }, (_, row) => row).filter(
    (row) => textIn(form, `joints/${row}/name`) !== undefined,
  );
  return (['L', 'R'] as const).flatMap((side) =>
    rows.flatMap((row) => {
      const sides = textIn(form, `joints/${row}/side`) ?? 'both';
      if (sides !== 'both' && sides !== side) return [];
      const at = (name: string) => `joints/${row}/${name}`;
      return [
        {
          row,
          side,
          code: `${side}-${(textIn(form, at('name')) ?? '').toUpperCase()}`,
          kind: textIn(form, at('kind')),
          washersExpected: numberIn(form, at('washers')) ?? 0,
          x: numberIn(form, at('x')) ?? 50,
          y: numberIn(form, at('y')) ?? 50,
        },
      ];
    }),
  );
}

/** The joints of a form as the API takes them. */
export function pivotsIn(form: SmallForm) {
  return drawnIn(form).map(({ row: _row, ...pivot }) => pivot);
}

/** The row of the form that a joint stands in. */
export function rowOfPivot(form: SmallForm, nth: number): number {
  return drawnIn(form)[nth]?.row ?? 0;
}
