import { fileURLToPath } from 'node:url';
import { Eta } from 'eta';
import { printable, strictly } from '../../../views/letters/strict.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import type { Frame } from './frame.ts';
import { headOf } from './navigation.ts';
import type { PageModels } from './page-models.ts';
import { numbersOf } from './page-rules.ts';
import { PICK_SCRIPT } from './script.ts';
import { STYLE } from './style.ts';

const folder = fileURLToPath(new URL('../../../../templates/pages/', import.meta.url));

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

/**
 * Writes a page from its model; every value of the model is escaped. Its template says its own words with
 * `it.say(key)` and `it.count(key, number)`, in the language of the frame. Throws RenderRefused, naming
 * the field, where a template asks for one that the model does not have.
 */
export function renderPage<N extends keyof PageModels>(
  name: N,
  frame: Frame,
  model: PageModels[N],
): string {
  const { lang, title, nav, script = '' } = frame;
  const { say, count } = voiceFor(lang);
  const readers = voiceFor(nav?.language ?? lang);
  const head = nav === null ? null : headOf(nav, readers);
  const numbers = nav === null ? [] : numbersOf(name, readers);
  const pick = PICK_SCRIPT.address;
  const around = {
    lang,
    title,
    nav: head,
    numbers,
    script,
    pick,
    style: STYLE.address,
    say,
    count,
  };
  return engine.render(`./${name}`, { ...around, ...model });
}
