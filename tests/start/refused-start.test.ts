import { describe, expect, it } from 'vitest';
import { readSettings, SettingsRefused } from '../../src/config.ts';
import { DELIVERY_DEFAULTS } from '../../src/domain/letters/delivery-figures.ts';

describe('a start that cannot be', () => {
  it('names every setting that is wrong at once', () => {
    const wrong = {
      PORT: '0x10',
      DELIVERY_CRON: '* * 31 2 *',
      ROUND_CRON: 'soon',
      MAIL_BURST: '1e3',
      MAIL_PARALLEL: '0',
      MAIL_RETRY_MINUTES: '1,5',
    };
    const names = Object.keys(wrong).map((name) => `- ${name} `);
    const refusal = (() => {
      try {
        return readSettings(wrong);
      } catch (fault) {
        return fault;
      }
    })();
    expect(refusal).toBeInstanceOf(SettingsRefused);
    expect(names.filter((name) => !String(refusal).includes(name))).toEqual([]);
  });
});

it('the settings change how letters are tried, and leave the rest as it is', () => {
  const { deliveryFigures } = readSettings({
    MAIL_RETRY_MINUTES: '2,4,8,16,32,64',
    MAIL_GIVE_UP_HOURS: '24',
    MAIL_PARALLEL: '3',
  });
  expect(deliveryFigures).toEqual({
    ...DELIVERY_DEFAULTS,
    wait1: 2,
    wait2: 4,
    wait3: 8,
    wait4: 16,
    wait5: 32,
    wait6: 64,
    giveUpHours: 24,
    parallel: 3,
  });
  expect(readSettings({}).deliveryFigures).toEqual(DELIVERY_DEFAULTS);
});
