import { createRequire } from 'node:module';
import type { Resvg } from '@resvg/resvg-js';
import { type MapSide, pivotMap } from '../pivot-map.ts';
import type { Checked } from './models.ts';
import type { Picture } from './pictures.ts';
import type { Speaker } from './sheet.ts';
import { jointInWords } from './stay.ts';

type Pivots = Checked<'visit-report'>['pivots'];

const GROUND = '#14525d';
const LINE = '#eef5f5';
const MARK = '#f2bb66';
const WIDE = 600;
const HIGH = 216;
/** Twice the width of a telephone's letter. */
const PIXELS_WIDE = 720;

/**
 * The sides of a frame on which something was found, with a number at each such joint: those of the
 * list in the letter. Null where nothing was, or where the letter does not know the frame.
 */
export function framePicture({ worst, frame }: Pivots, speaker: Speaker): Picture | null {
  const numbers = new Map(worst.map(({ code }, i) => [code, i + 1]));
  const sides = pivotMap(
    frame,
    frame.flatMap(({ code, x, y }) => (x === null || y === null ? [] : [{ code, x, y }])),
  ).filter(({ points }) => points.some(({ code }) => numbers.has(code)));
  if (sides.length === 0) return null;
  const drawn = sides.map((side, i) => sideOf(side, numbers, i * HIGH)).join('');
  const high = sides.length * HIGH;
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDE} ${high}"><rect width="${WIDE}" height="${high}" fill="${GROUND}"/>${drawn}</svg>`;
  const joints = worst.map(({ code, verdict }, i) =>
    speaker.say('report.map.joint', {
      number: String(i + 1),
      joint: jointInWords(code, speaker),
      verdict: speaker.say(`verdict.${verdict}`),
    }),
  );
  const alt = speaker.say('report.map.alt', { joints: joints.join('; ') });
  return { src: `data:image/png;base64,${pngOf(svg).toString('base64')}`, alt };
}

/** One side: small rings for the joints that are well, a mark with its number for each of the others. */
function sideOf(
  { points, line, side }: MapSide,
  numbers: ReadonlyMap<string, number>,
  y: number,
): string {
  const marks = points.map((point) => {
    const number = numbers.get(point.code);
    const at = `translate(${point.x} ${point.y})`;
    if (number === undefined) {
      return `<circle transform="${at}" r="6" fill="${GROUND}" stroke="${LINE}" stroke-width="3"/>`;
    }
    return `<g transform="${at}">${SHAPES[point.verdict]}${written(String(number), GROUND, 1.35)}</g>`;
  });
  const frame = line === '' ? '' : `<polyline points="${line}" ${STROKE}/>`;
  return `<g transform="translate(0 ${y})"><g transform="translate(44 30) scale(1.6)">${written(side, LINE, 1)}</g><g transform="translate(72 -24) scale(1.15)">${frame}${marks.join('')}</g></g>`;
}

const STROKE = `fill="none" stroke="${LINE}" stroke-width="4" stroke-linecap="round" stroke-linejoin="round"`;
const SHAPES: Readonly<Record<MapSide['points'][number]['verdict'], string>> = {
  unread: `<circle r="15" fill="${LINE}"/>`,
  good: `<circle r="15" fill="${LINE}"/>`,
  watch: `<circle r="16" fill="${LINE}"/>`,
  plan: `<path d="M0-24 22 14H-22Z" fill="${MARK}"/>`,
  act: `<rect x="-17" y="-17" width="34" height="34" fill="${MARK}"/>`,
};

/** Strokes of the signs that a drawing needs, six wide and ten high: no machine's fonts are asked. */
const SIGNS: Readonly<Record<string, string>> = {
  '0': 'M0 2Q0 0 3 0T6 2V8Q6 10 3 10T0 8Z',
  '1': 'M1 2 3.5 0V10',
  '2': 'M0 2.5Q0 0 3 0T6 2.8Q6 4.5 0 10H6',
  '3': 'M0 0H6L2.5 4Q6 4 6 7T3 10Q.5 10 0 8',
  '4': 'M4.5 10V0L0 7H6',
  '5': 'M6 0H1L.5 4.5Q6 2.4 6 6.8 6 10 3 10 .8 10 0 8.5',
  '6': 'M5 0Q0 2 0 7 0 10 3 10T6 7Q6 4.5 3 4.5 .8 4.5 0 6.5',
  '7': 'M0 0H6L2 10',
  '8': 'M3 4.5Q.5 4.5 .5 2.2T3 0 5.5 2.2 3 4.5 0 7.2 3 10 6 7.2 3 4.5',
  '9': 'M1 10Q6 8 6 3 6 0 3 0T0 3 3 5.5Q5.2 5.5 6 3.5',
  L: 'M0 0V10H6',
  R: 'M0 10V0H3.5Q6 0 6 2.5T3.5 5H0M3 5 6 10',
};

function written(text: string, colour: string, scale: number): string {
  const signs = text
    .split('')
    .map((sign, i) => `<path transform="translate(${i * 9} 0)" d="${SIGNS[sign] ?? ''}"/>`);
  const left = -(text.length * 9 - 3) / 2;
  return `<g transform="scale(${scale}) translate(${left} -5)" fill="none" stroke="${colour}" stroke-width="1.7" stroke-linecap="round" stroke-linejoin="round">${signs.join('')}</g>`;
}

/** The renderer is loaded when the first drawing is asked for: it takes longer than all else here. */
function pngOf(svg: string): Buffer {
  const { Resvg: Renderer } = createRequire(import.meta.url)('@resvg/resvg-js') as {
    Resvg: typeof Resvg;
  };
  const options = {
    fitTo: { mode: 'width', value: PIXELS_WIDE },
    font: { loadSystemFonts: false },
  } as const;
  return new Renderer(svg, options).render().asPng();
}
