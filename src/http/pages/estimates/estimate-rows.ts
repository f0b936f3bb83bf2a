import type { SmallForm } from '../frame/small-form.ts';
import { textIn } from '../shop/form-body.ts';

const MOST_WORKS = 60;
const MOST_PARTS = 20;

/** The pieces of work that a form says, by the beginning of their names; empty rows are left out. */
export function worksIn(form: SmallForm): string[] {
  return rowsIn(form, 'works').filter((at) => partsIn(form, at).length > 0 || isFilled(form, at));
}

/** The parts of a piece of work that a form says. */
export function partsIn(form: SmallForm, at: string): string[] {
  return rowsIn(form, `${at}/parts`).filter((part) => isFilled(form, part));
}

/** The rows that a form has under a name, empty ones too. */
export function rowsIn(form: SmallForm, name: string): string[] {
  const most = name === 'works' ? MOST_WORKS : MOST_PARTS;
  return Array.from({ length: most }, (_, i) => `${name}/${i}`).filter((at) =>
    Object.hasOwn(form, `${at}/text`),
  );
}

function isFilled(form: SmallForm, at: string): boolean {
  return textIn(form, `${at}/text`) !== undefined;
}
