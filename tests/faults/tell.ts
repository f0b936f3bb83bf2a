/** The names of a report's counts that have to be nothing. */
type Counts<Report> = {
  [Name in keyof Report]: Report[Name] extends number ? Name : never;
}[keyof Report];

/** Prints what a run came to as a JSON line, and has the program fail where a count that has to be nothing is not. */
export function tell<Report extends object>(
  report: Report,
  goals: readonly Counts<Report>[],
): void {
  const missed = goals.filter((name) => (report[name] as number) !== 0);
  process.stdout.write(`${JSON.stringify({ ...report, missed })}\n`);
  if (missed.length > 0) process.exitCode = 1;
}
