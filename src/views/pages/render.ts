import { fileURLToPath } from 'node:url';
import { Eta } from 'eta';
import { printable, strictly } from '../letters/strict.ts';
import type { PageModels } from './page-models.ts';
import { STYLE } from './style.ts';

const folder = fileURLToPath(new URL('../../../templates/pages/', import.meta.url));

/** Templates whose data refuses every field it does not have, in parts and layout too. */
class StrictEta extends Eta {
  strictly = strictly;
}

const engine = new StrictEta({
  views: folder,
  cache: true,
  autoEscape: true,
  autoFilter: true,
  filterFunction: printable,
  functionHeader: 'it = this.strictly(it);',
});

/** What surrounds a page. */
export interface Frame {
  /** Language tag of the words on the page. */
  readonly lang: string;
  /** Never with dates or places of a car: titles end up in histories and on shared screens. */
  readonly title: string;
  /** Links of a signed-in person; null on pages that are opened by a link of their own. */
  readonly nav: { readonly here: string } | null;
}

/**
 * Writes a page from its model; every value of the model is escaped. Throws RenderRefused, naming
 * the field, where a template asks for one that the model does not have.
 */
export function renderPage<N extends keyof PageModels>(
  name: N,
  frame: Frame,
  model: PageModels[N],
): string {
  return engine.render(`./${name}`, { ...frame, ...model, style: STYLE.address });
}
