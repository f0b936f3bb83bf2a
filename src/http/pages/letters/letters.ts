import type { FastifyInstance } from 'fastify';
import { LETTER_HEADERS } from '../../gate/safe-headers.ts';
import { showCar } from '../../../usecases/cars/read-cars.ts';
import type { Context } from '../../../usecases/context/context.ts';
import type { LetterHeap } from '../../../usecases/letters/letter-book.ts';
import { LETTER_HEAPS, readLetterBook } from '../../../usecases/letters/letter-book.ts';
import { showLetter } from '../../../usecases/letters/read-letters.ts';
import { showOrganisation } from '../../../usecases/organisations/organisations.ts';
import type { Answer } from '../shop/shop-page.ts';
import { cleanId, renderFor, showPage } from '../shop/shop-page.ts';
import { comingLetters, MONTHS_AHEAD } from '../../../usecases/round/coming-letters.ts';
import { comingSheet } from './coming-sheet.ts';
import { letterKindPages } from './kinds.ts';
import { letterSheet, lettersSheet } from './letters-sheet.ts';

const LETTERS_A_PAGE = 50;

/** What was written to whom, what waits, and what did not get through. */
export function letterPages(app: FastifyInstance, context: Context, tray: boolean): void {
  showPage(app, context, '/letters', async ({ caller, query, voice }) => {
    const { timeZone } = await showOrganisation(context, caller);
    const heap = heapIn(query('heap'));
    const ownerId = query('owner') === undefined ? undefined : cleanId(query('owner') ?? '');
    const asked = { heap, ownerId, limit: LETTERS_A_PAGE, after: query('after') };
    const { items, next, owner } = await readLetterBook(context, caller, asked);
    const view = { heap, ownerId, timeZone, now: context.now(), tray, kind: caller.kind };
    return renderFor(caller, 'letters', ...lettersSheet(items, next, owner, view, voice));
  });
  showPage(app, context, '/coming-letters', async ({ caller, voice }) =>
    renderFor(
      caller,
      'letters-coming',
      ...comingSheet(await comingLetters(context, caller, MONTHS_AHEAD), voice),
    ),
  );
  letterKindPages(app, context);
  const one: Answer = async ({ caller, id, voice }) => {
    const { timeZone } = await showOrganisation(context, caller);
    const letter = await showLetter(context, caller, id);
    const cars = await Promise.all(letter.carIds.map((car) => showCar(context, caller, car)));
    const view = { timeZone, now: context.now() };
    return renderFor(caller, 'letter', ...letterSheet(letter, cars, view, voice));
  };
  showPage(app, context, '/letters/:id', one, 'read-records', LETTER_HEADERS);
}

function heapIn(asked: string | undefined): LetterHeap | undefined {
  return (Object.keys(LETTER_HEAPS) as LetterHeap[]).find((heap) => heap === asked);
}
