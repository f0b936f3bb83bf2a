import { expect, it } from 'vitest';
import { careDayIn } from '../../src/http/pages/club/typed-care-day.ts';
import { voiceFor } from '../../src/views/words/voice.ts';
import { Refused } from '../../src/domain/refusal.ts';

const FORM = {
  heldOn: '2026-07-11',
  place: 'The hall',
  from: '09:00',
  until: '12:00',
  benches: '2',
  handMinutes: '30',
  poweredMinutes: '45',
  stepMinutes: '15',
};

it('reads helpers with and without hours', () => {
  const { helpers } = careDayIn(
    { ...FORM, helpers: 'Ann Rivet\nAda Byrne 10:00-13:00' },
    voiceFor('en'),
  );
  expect(helpers).toEqual([
    { name: 'Ann Rivet' },
    { name: 'Ada Byrne', from: '10:00', until: '13:00' },
  ]);
});

it.each(['Ada 15-xx', 'Ada 25:00-26:00', 'Ada 9-12', 'Ada 10:00-13:00h'])(
  'refuses “%s”, which is meant as hours, instead of taking it as a name',
  (helpers) => {
    let refused: unknown;
    try {
      careDayIn({ ...FORM, helpers }, voiceFor('en'));
    } catch (fault) {
      refused = fault;
    }
    expect(refused).toBeInstanceOf(Refused);
    expect((refused as Refused).refusal).toMatchObject({
      faults: [{ pointer: '#/helpers', detail: expect.stringContaining('cannot be read') }],
    });
  },
);
