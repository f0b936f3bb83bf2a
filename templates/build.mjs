// Builds the letters: puts each kind into the layout, writes the CSS into the tags (mail programs
// drop style sheets), draws the pictures of the care notes, and leaves all of it ready in
// templates/compiled/. Run it after every edit.
//   node templates/build.mjs           build
//   node templates/build.mjs --texts   build all but the pictures, which take longest
//   node templates/build.mjs --check   build, then write every kind in every language with the
//                                      sample data of dist/ and fail at the first gap
import { mkdirSync, readFileSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import juice from 'juice';
import sharp from 'sharp';
import { drawn, SCENES, told } from './pictures/scenes.mjs';

const here = dirname(fileURLToPath(import.meta.url));
const letters = join(here, 'letters');
const compiled = join(here, 'compiled');

const read = (...path) => readFileSync(join(letters, ...path), 'utf8');

/** The text of a template with its `@include NAME` lines replaced by the parts of that name. */
function withParts(text, format, depth = 0) {
  if (depth > 5) throw new Error('Parts include each other in a circle');
  return text.replace(/^[ \t]*@include (\S+)[ \t]*\n/gm, (_, name) =>
    withParts(read('parts', `${name}.${format}.eta`), format, depth + 1),
  );
}

function build(kind, format) {
  const whole = read(`layout.${format}.eta`).replace(/^[ \t]*@body[ \t]*\n/m, () =>
    read(`${kind}.${format}.eta`),
  );
  return withParts(whole, format);
}

function languages() {
  const words = new Map();
  for (const file of readdirSync(join(letters, 'words'))) {
    if (!file.endsWith('.json')) continue;
    words.set(file.slice(0, -5), new Set(Object.keys(JSON.parse(read('words', file)))));
  }
  return words;
}

/** Every word key that a template names outright must stand in every language. */
function checkWords(kind, source, words) {
  const named = [...source.matchAll(/it\.say\('([^']+)'/g)].map((match) => match[1]);
  const slots = [...source.matchAll(/it\.own\('([^']+)'/g)].map(([, slot]) =>
    slot === 'closing' ? slot : `${kind}.${slot}`,
  );
  for (const key of [...named, ...slots]) {
    for (const [language, keys] of words) {
      if (!keys.has(key)) throw new Error(`${kind}: words/${language}.json lacks "${key}"`);
    }
  }
}

/** Without the spaces that no mail program needs: each stands in every tag of every letter. */
function tight(html) {
  return html
    .replace(/^[ \t]+/gm, '')
    .replace(/style="[^"]*"/g, (style) => style.replace(/([:;]) /g, '$1').replace(/;"$/, '"'));
}

const css = read('letters.css');
const words = languages();
const kinds = readdirSync(letters)
  .filter((file) => file.endsWith('.html.eta') && file !== 'layout.html.eta')
  .map((file) => file.slice(0, -'.html.eta'.length));

const fresh = `${compiled}.${process.pid}`;
mkdirSync(fresh, { recursive: true });
// The compiled templates follow from the sources, so they stay out of the repository by themselves.
writeFileSync(join(fresh, '.gitignore'), '*\n');
for (const kind of kinds) {
  const html = build(kind, 'html');
  const text = build(kind, 'txt');
  checkWords(kind, html, words);
  checkWords(kind, text, words);
  const inlined = juice(html, {
    extraCss: css,
    preserveMediaQueries: true,
    insertPreservedExtraCss: true,
    applyWidthAttributes: false,
    applyHeightAttributes: false,
    applyAttributesTableElements: false,
  });
  writeFileSync(join(fresh, `${kind}.html.eta`), tight(inlined));
  writeFileSync(join(fresh, `${kind}.txt.eta`), text);
}
// Half as wide again as they are shown, in few colours: some 4 KB each.
for (const [id, scene] of process.argv.includes('--texts') ? [] : Object.entries(SCENES)) {
  const picture = sharp(Buffer.from(drawn(scene)), { density: 96 }).resize({ width: 800 });
  const png = picture.png({ palette: true, colours: 32, dither: 0, effort: 10 });
  writeFileSync(join(fresh, `picture-${id}.png`), await png.toBuffer());
}
const shown = Object.entries(SCENES).map(([id, scene]) => [id, told(scene)]);
writeFileSync(join(fresh, 'pictures.json'), JSON.stringify(Object.fromEntries(shown), null, 2));
mkdirSync(compiled, { recursive: true });
for (const file of readdirSync(fresh)) renameSync(join(fresh, file), join(compiled, file));
rmSync(fresh, { recursive: true });

if (process.argv.includes('--check')) {
  const { LETTER_KINDS } = await import('../dist/domain/round/letter-kind.js');
  const { renderLetter } = await import('../dist/views/letters/render.js');
  const { sampleModel } = await import('../dist/views/letters/sample.js');
  const { wordsByLanguage } = await import('../dist/views/words/words.js');
  for (const language of wordsByLanguage().keys()) {
    for (const kind of LETTER_KINDS) renderLetter(kind, sampleModel(kind, language));
  }
}
