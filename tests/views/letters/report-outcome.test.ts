import { describe, expect, it } from 'vitest';
import { renderLetter } from '../../../src/views/letters/render.ts';
import { sampleModel } from '../../../src/views/letters/sample.ts';

type Changes = Partial<ReturnType<typeof sampleModel<'visit-report'>>>;

const NOTHING = {
  en: 'Nothing needs doing before the next oiling.',
  de: 'Vor dem nächsten Ölen ist nichts zu tun.',
};

describe('the report of a visit at which all joints were good', () => {
  const textOf = (language: 'en' | 'de', changes: Changes) => {
    const model = sampleModel('visit-report', language);
    const pivots = { ...model.pivots, worst: [], washersMissing: 0 };
    const bare = { moves: [], findings: [], lookAgain: null };
    return renderLetter('visit-report', { ...model, pivots, ...bare, ...changes }).text;
  };
  const sways = (verdict: 'with-care' | 'leave') => ({
    registration: 'FK 1',
    verdict,
    reasons: [{ sign: 'sway' as const, pivot: null, fault: null }],
    how: [],
    repairOn: null,
    powered: false,
  });
  const finding = { joint: null, text: 'the cover has shrunk', advised: null };

  it('says that nothing needs doing where nothing else was found', () => {
    const mended = { findings: [{ ...finding, outcome: 'done' as const }] };
    for (const language of ['en', 'de'] as const) {
      expect(textOf(language, {})).toContain(NOTHING[language]);
      expect(textOf(language, mended)).toContain(NOTHING[language]);
    }
  });

  it.each<[string, Changes]>([
    ['a frame that sways', { moves: [sways('with-care')] }],
    ['a finding that nobody decided on', { findings: [{ ...finding, outcome: null }] }],
    ['a finding that was declined', { findings: [{ ...finding, outcome: 'declined' }] }],
    ['a second look', { lookAgain: { from: '2026-07-01', to: '2026-07-29' } }],
  ])('does not say so beside %s', (_what, changes) => {
    for (const language of ['en', 'de'] as const) {
      expect(textOf(language, changes)).not.toContain(NOTHING[language]);
    }
  });

  it('plans the repair of a frame that sways', () => {
    expect(textOf('en', { moves: [sways('with-care')] })).toContain(
      'A repair is to be planned: the frame sways from side to side.',
    );
    expect(textOf('de', { moves: [sways('with-care')] })).toContain(
      'Eine Reparatur ist vorzusehen: das Gestell schwankt seitlich.',
    );
  });
});
