import type { CoverMaterial, WindowKind } from '../../domain/advice/advice.ts';
import type { FoldFloor } from '../../domain/advice/fold-floor.ts';
import { foldFloorOn } from '../../domain/advice/fold-floor.ts';
import type { Day } from '../../domain/calendar/day.ts';
import type { Sql } from '../../store/database/sql.ts';
import { organisationFigures } from '../figures/shop-rules.ts';
import type { TopRecord } from './top-records.ts';

/** How cold is too cold for folding a top today, in °C, by the organisation's own figures, and who says so. */
export async function topFloor(
  sql: Sql,
  organisationId: string,
  { cover, window, fittedOn }: Pick<TopRecord, 'cover' | 'window' | 'fittedOn'>,
  handbookCelsius: number | null,
  today: Day,
): Promise<FoldFloor> {
  const figures = await organisationFigures(sql, organisationId, 'foldFloor');
  return foldFloorOn(
    {
      material: cover.material as CoverMaterial,
      window: window as WindowKind,
      fittedOn,
    },
    handbookCelsius,
    today,
    figures,
  );
}
