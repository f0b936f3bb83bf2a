import { describe, expect, test } from 'vitest';
import {
  atTop,
  CAUTIONS,
  cautionsFor,
  FIRST_CAUTION,
  WORKS,
} from '../../../src/domain/cautions/cautions.ts';

describe('cautions', () => {
  test('are 19, with unique ids, in both languages, each for some work', () => {
    expect(CAUTIONS).toHaveLength(19);
    expect(new Set(CAUTIONS.map((row) => row.id)).size).toBe(19);
    for (const row of CAUTIONS) {
      for (const words of [row.hazard, row.show]) {
        expect(words.en.length).toBeGreaterThan(10);
        expect(words.de.length).toBeGreaterThan(10);
        expect(words.de).not.toBe(words.en);
      }
      expect(row.appliesTo.length).toBeGreaterThan(0);
    }
  });

  test.each(WORKS.map((work) => [work]))('of %s come with the handbook first', (work) => {
    const found = cautionsFor(work);
    expect(found.first).toBe(FIRST_CAUTION);
    expect(found.cautions.length).toBeGreaterThan(0);
    expect(found.cautions.every((row) => row.appliesTo.includes(work))).toBe(true);
  });

  test('keep the handbook line even where no work is named', () => {
    expect(cautionsFor()).toEqual({ first: FIRST_CAUTION, cautions: [] });
    expect(FIRST_CAUTION.en).toMatch(/handbook of your car and local rules come first/);
  });

  // Facts of the sources named in the rows (published, secondary copies).
  test.each([
    ['hydraulics', 'hydraulic-pressure', /180 bar/],
    ['springs', 'assist-springs', /while the top is folded/],
    ['glue', 'contact-glue', /n-hexane and dichloromethane/],
    ['dust', 'asbestos', /never blow it out/],
    ['operation', 'powered-top-sinks', /within seconds/],
  ] as const)('%s shows %s', (work, id, words) => {
    expect(cautionsFor(work).cautions.find((row) => row.id === id)?.show.en).toMatch(words);
  });

  test('show each caution once where several works meet', () => {
    const ids = cautionsFor('frame', 'springs', 'hydraulics').cautions.map((row) => row.id);
    expect(new Set(ids).size).toBe(ids.length);
    expect(ids).toContain('assist-springs');
    expect(ids).not.toContain('contact-glue');
  });

  const OF_A_MOTOR = /motor|hydraulic|powered|batter|\bbar\b/i;
  test.each(WORKS.map((work) => [work]))(
    'of %s speak of no motor and no hydraulics where the top is folded by hand',
    (work) => {
      const told = (powered: boolean | undefined) =>
        atTop(cautionsFor(work).cautions, powered).map(({ hazard, show }) => hazard.en + show.en);
      expect(told(false).filter((words) => OF_A_MOTOR.test(words))).toEqual([]);
      expect(told(true)).toEqual(told(undefined));
    },
  );

  test('name the powered top where nobody knows whether it is one', () => {
    const motors = CAUTIONS.filter(({ hazard, show }) => OF_A_MOTOR.test(hazard.en + show.en));
    expect(motors.length).toBeGreaterThan(3);
    for (const { hazard } of motors) {
      expect(hazard.en).toMatch(/powered top/);
      expect(hazard.de).toMatch(/elektrische[ns]? Verdeck/i);
    }
  });
});
