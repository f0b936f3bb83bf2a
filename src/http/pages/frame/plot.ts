/** A number of a drawing, to a tenth of its unit: finer is seen by nobody and costs bytes. */
export function tenth(value: number): string {
  return (Math.round(value * 10) / 10).toString();
}

/** A word beside an axis. */
export interface Mark {
  readonly at: string;
  readonly word: string;
}

/** Maps values between two ends to places between two others; what lies beyond is drawn at the end. */
export function scale(
  from: number,
  to: number,
  first: number,
  last: number,
): (value: number) => number {
  const span = to - from || 1;
  return (value) => {
    const share = Math.min(Math.max((value - from) / span, 0), 1);
    return first + share * (last - first);
  };
}
