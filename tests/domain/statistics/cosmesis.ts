import type { IntervalLife } from '../../../src/domain/statistics/interval.ts';

/**
 * Months to retraction of the breast, each known between two visits to a clinic, after radiation
 * alone and after radiation with chemotherapy: Finkelstein & Wolfe (1985), Biometrics 41, 933-945
 * (published; read in a secondary copy, the second example of a statistics package's ICLIFETEST
 * procedure). A dash stands for "not by the last visit".
 */
const ALONE =
  '45 -, 25 37, 37 -, 6 10, 46 -, 0 5, 0 7, 26 40, 18 -, 46 -, 46 -, 24 -, 46 -, 27 34, 36 -, ' +
  '7 16, 36 44, 5 11, 17 -, 46 -, 19 35, 7 14, 36 48, 17 25, 37 44, 37 -, 24 -, 0 8, 40 -, 32 -, ' +
  '4 11, 17 25, 33 -, 15 -, 46 -, 19 26, 11 15, 11 18, 37 -, 22 -, 38 -, 34 -, 46 -, 5 12, 36 -, ' +
  '46 -';
const WITH_CHEMOTHERAPY =
  '8 12, 0 5, 30 34, 0 22, 5 8, 13 -, 24 31, 12 20, 10 17, 17 27, 11 -, 8 21, 17 23, 33 40, 4 9, ' +
  '24 30, 31 -, 11 -, 16 24, 13 39, 14 19, 13 -, 19 32, 4 8, 11 13, 34 -, 34 -, 16 20, 13 -, ' +
  '30 36, 18 25, 16 24, 18 24, 17 26, 35 -, 16 60, 32 -, 15 22, 35 39, 23 -, 11 17, 21 -, 44 48, ' +
  '22 32, 11 20, 14 17, 10 35, 48 -';

function livesOf(text: string): IntervalLife[] {
  return text.split(', ').map((pair) => {
    const [after, by] = pair.split(' ');
    return { after: Number(after), by: by === '-' ? null : Number(by) };
  });
}

export const RADIATION_ALONE = livesOf(ALONE);
export const RADIATION_WITH_CHEMOTHERAPY = livesOf(WITH_CHEMOTHERAPY);
