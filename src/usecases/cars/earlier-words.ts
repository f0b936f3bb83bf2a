import { earlierWords } from '../../store/cars/earlier-words-rows.ts';
import type { Caller, Context } from '../context/context.ts';

/** The words that an organisation has used for its cars and tops so far, field by field. */
export type OwnWords = Readonly<
  Record<'make' | 'model' | 'colour' | 'coverName' | 'coverColour' | 'windowMade', string[]>
>;

/** Reads them to be offered where such a word is typed, so that one thing has one name. */
export async function ownWords(
  { store: { sql } }: Context,
  { organisationId }: Caller,
): Promise<OwnWords> {
  const of = (asked: Parameters<typeof earlierWords>[2]) =>
    earlierWords(sql, organisationId, asked);
  return {
    make: await of({ table: 'car', column: 'make' }),
    model: await of({ table: 'car', column: 'model' }),
    colour: await of({ table: 'car', column: 'colour' }),
    coverName: await of({ table: 'top', column: 'coverName' }),
    coverColour: await of({ table: 'top', column: 'coverColour' }),
    windowMade: await of({ table: 'top', column: 'windowMade' }),
  };
}
