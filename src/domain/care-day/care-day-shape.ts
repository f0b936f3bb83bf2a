/** A time of the day by the clock of the place, as 'HH:MM'; it sorts as text. */
export type Clock = string;

/** From when to when. */
export interface Span {
  readonly from: Clock;
  readonly until: Clock;
}

/** Somebody who works on the day, or two who always work together. */
export interface Helper extends Span {
  readonly id: string;
  readonly name: string;
}

/** When, where and by whom cars are worked on. */
export interface CareDayShape extends Span {
  /** Pauses that everybody keeps; no car is worked on during one. */
  readonly breaks: readonly Span[];
  /** Places at which a car can stand and be worked on. */
  readonly benches: number;
  readonly helpers: readonly Helper[];
  /** Cars come at whole steps from the beginning of the day and from the end of each pause. */
  readonly stepMinutes: number;
}

/** Minutes from midnight to a time of the day. */
export function minutesAt(clock: Clock): number {
  return Number(clock.slice(0, 2)) * 60 + Number(clock.slice(3, 5));
}

/** The time of the day so many minutes after midnight. */
export function clockAt(minutes: number): Clock {
  const two = (n: number) => String(n).padStart(2, '0');
  return `${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
}

/** The stretches of the day without a pause, in minutes from midnight, in order. */
export function stretchesOf({ from, until, breaks }: CareDayShape): [number, number][] {
  const stretches: [number, number][] = [];
  let begin = minutesAt(from);
  const end = minutesAt(until);
  for (const pause of breaks.toSorted((a, b) => (a.from < b.from ? -1 : 1))) {
    if (minutesAt(pause.from) > begin)
      stretches.push([begin, Math.min(end, minutesAt(pause.from))]);
    begin = Math.max(begin, minutesAt(pause.until));
  }
  if (begin < end) stretches.push([begin, end]);
  return stretches;
}

/** The times at which a car that takes so long may come, whoever else comes. */
export function startsOf(shape: CareDayShape, minutes: number): number[] {
  return stretchesOf(shape).flatMap(([from, until]) => {
    const starts: number[] = [];
    for (let at = from; at + minutes <= until; at += shape.stepMinutes) starts.push(at);
    return starts;
  });
}
