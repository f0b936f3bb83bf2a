import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { atTicks } from '../../src/cron/ticks.ts';

describe('what is done by the clock', () => {
  let ticks: { stop(): Promise<void> };
  let times: string[];

  const start = (expression: string, work?: () => Promise<void>) => {
    times = [];
    ticks = atTicks(expression, async () => {
      times.push(new Date().toISOString());
      await work?.();
    });
  };
  const wait = (seconds: number) => vi.advanceTimersByTimeAsync(seconds * 1000);

  beforeEach(() => {
    vi.useFakeTimers({ now: new Date('2026-06-01T09:00:50Z') });
  });

  afterEach(async () => {
    await ticks.stop();
    vi.useRealTimers();
  });

  it('is done at each time of the expression', async () => {
    start('*/5 * * * *');
    await wait(600);
    expect(times).toEqual(['2026-06-01T09:05:00.000Z', '2026-06-01T09:10:00.000Z']);
  });

  it('goes on where the clock was ahead and is set back', async () => {
    vi.setSystemTime('2027-07-06T09:00:50Z');
    start('* * * * *');
    await wait(30);
    expect(times).toEqual(['2027-07-06T09:01:00.000Z']);
    vi.setSystemTime('2026-06-01T09:01:20Z');
    await wait(120);
    expect(times.slice(1)).toEqual(['2026-06-01T09:02:00.000Z', '2026-06-01T09:03:00.000Z']);
  });

  it('is done once where the clock was set forward, however far', async () => {
    start('* * * * *');
    await wait(30);
    vi.setSystemTime('2036-06-01T09:00:20Z');
    await wait(15);
    expect(times).toHaveLength(2);
    await wait(60);
    expect(times.at(-1)).toBe('2036-06-01T09:01:00.000Z');
    expect(times).toHaveLength(3);
  });

  it('is never done twice at once, and goes on after work that took long', async () => {
    let end = () => {};
    start('* * * * *', () => new Promise((resolve) => (end = resolve)));
    await wait(200);
    expect(times).toEqual(['2026-06-01T09:01:00.000Z']);
    end();
    await wait(60);
    expect(times).toEqual(['2026-06-01T09:01:00.000Z', '2026-06-01T09:05:00.000Z']);
    end();
  });

  it('waits at its end for what is at work', async () => {
    let end = () => {};
    let ended = false;
    start('* * * * *', () => new Promise((resolve) => (end = resolve)));
    await wait(20);
    const stopping = ticks.stop().then(() => (ended = true));
    await wait(1);
    expect(ended).toBe(false);
    end();
    await stopping;
    await wait(120);
    expect(times).toHaveLength(1);
  });
});
