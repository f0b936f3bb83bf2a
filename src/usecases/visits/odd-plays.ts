import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import { Refused } from '../../domain/refusal.ts';
import type { Caller, Context } from '../context/context.ts';
import { ownFiguresOf } from '../figures/shop-rules.ts';
import type { NewReading } from './record-visit.ts';

const PLAYS = ['axialPlayMm', 'radialPlayMm'] as const;

/**
 * Refuses readings whose play is likelier a slip of the decimal point than a joint (a figure of the
 * organisation): the owner would be told at once that the top must not be moved. Call it where somebody
 * types readings and can be asked; `surely` is their answer.
 */
export async function refuseOddPlays(
  { store }: Context,
  { organisationId }: Caller,
  { readings = [] }: { readonly readings?: readonly NewReading[] | undefined },
  surely: boolean,
): Promise<void> {
  if (surely) return;
  const own = await ownFiguresOf(store.sql, organisationId);
  const { askPlayOver } = figuresFor('pivots', own);
  const faults = readings.flatMap((reading, i) =>
    PLAYS.flatMap((name) => {
      const mm = reading[name] ?? 0;
      const detail = `${mm} mm of play is more than any joint shows that still holds. Is the point in its place? If it is so, say so below.`;
      return mm > askPlayOver ? [{ pointer: `#/readings/${i}/${name}`, detail }] : [];
    }),
  );
  if (faults.length > 0) throw new Refused({ kind: 'invalid', faults });
}
