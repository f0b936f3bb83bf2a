import cron from 'node-cron';

/**
 * Calls `work` at the times of a cron expression, by the machine's clock as it stands, and never while an
 * earlier call is still at work. Times that were missed are not made good. A clock that is set back does
 * not silence it until it has caught up again, one that is set forward has no times walked through one by
 * one; both are seen within `LOOK_MS`.
 */
export function atTicks(expression: string, work: () => Promise<void>): { stop(): Promise<void> } {
  // Only asked for its times: its own timers wait for the time that they once worked out.
  const times = cron.createTask(expression, () => undefined);
  const timeAfter = (): number => times.getNextRuns(1)[0]?.getTime() ?? Number.POSITIVE_INFINITY;
  let working: Promise<void> | null = null;
  let next = timeAfter();
  let seen = Date.now();
  let timer: NodeJS.Timeout;
  const look = (): void => {
    const at = Date.now();
    if (at >= next && working === null) {
      working = work().finally(() => {
        working = null;
      });
    }
    if (at >= next || at < seen) next = timeAfter();
    seen = at;
    arm();
  };
  const arm = (): void => {
    timer = setTimeout(look, Math.min(Math.max(next - Date.now(), 0), LOOK_MS));
  };
  arm();
  return {
    async stop() {
      clearTimeout(timer);
      await times.destroy();
      await working;
    },
  };
}

/** How soon a clock that was set otherwise is seen: 15 s, a small part of the shortest round. */
const LOOK_MS = 15_000;
