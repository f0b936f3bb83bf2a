import { describe, expect, it } from 'vitest';
import { LETTER_KINDS } from '../../../src/domain/round/letter-kind.ts';
import { renderLetter } from '../../../src/views/letters/render.ts';
import { slotsOf, validateOverride } from '../../../src/views/letters/slots.ts';
import { RenderRefused } from '../../../src/views/words/refused.ts';
import { sampleModel } from '../../../src/views/letters/sample.ts';
import { seen } from './reading.ts';

describe('an organisation’s own wording', () => {
  it.each(LETTER_KINDS)('%s: stands in the letter with every place it may use', (kind) => {
    for (const { slot, places } of slotsOf(kind)) {
      const own = `Own words ${places.map((place) => `{{${place}}}`).join(' ')}`;
      expect(validateOverride(kind, slot, own)).toEqual([]);
      const letter = renderLetter(kind, sampleModel(kind), { [slot]: own });
      const shown = slot === 'subject' ? letter.subject : seen(letter.html);
      expect(shown).toContain('Own words');
      expect(shown).not.toContain('{{');
    }
  });

  it('is escaped as any other text', () => {
    const lead = '<img src=x onerror=alert(1)> {{ owner }} & <%= it.lang %>';
    const { html, text } = renderLetter('care-note', sampleModel('care-note'), { lead });
    expect(html).not.toContain('<img src=x');
    expect(html).toContain(
      '&lt;img src=x onerror=alert(1)&gt; Ada Quill &amp; &lt;%= it.lang %&gt;',
    );
    expect(text).toContain('<img src=x onerror=alert(1)> Ada Quill & <%= it.lang %>');
  });

  const refused: [string, string, RegExp][] = [
    ['subject', 'two\nlines', /one line/],
    ['subject', 'a\r\nBcc: x@example.org', /one line/],
    ['subject', 'x'.repeat(200), /at most 120/],
    ['lead', '  ', /Write something/],
    ['lead', 'tab\there', /control characters/],
    ['lead', 'Dear {{constructor}}', /cannot stand here; allowed: {{organisation}}/],
    ['lead', 'Dear {{owner}', /not closed/],
    ['lead', 'Dear {{owner.name}}', /not closed/],
    ['nowhere', 'x', /no wording called "nowhere"/],
    ['__proto__', 'x', /no wording called/],
  ];
  it.each(refused)('%s: %j is refused with what to do', (slot, text, problem) => {
    expect(validateOverride('lubrication-due', slot, text).join()).toMatch(problem);
    const overrides = { [slot]: text };
    const write = () => renderLetter('lubrication-due', sampleModel('lubrication-due'), overrides);
    expect(write).toThrow(RenderRefused);
  });

  it('keeps line breaks where a passage may have them', () => {
    expect(validateOverride('care-note', 'closing', 'Yours\n{{organisation}}')).toEqual([]);
  });

  it('cannot put a car, a name or a figure into what shows of a folded car unopened', () => {
    for (const slot of ['subject', 'preheader']) {
      for (const text of ['{{cars}} is folded', 'Folded for {{owner}}', 'Folded since 3 May']) {
        expect(validateOverride('folded-over', slot, text)).not.toEqual([]);
      }
      expect(validateOverride('folded-over', slot, 'Please raise the top')).toEqual([]);
    }
    expect(validateOverride('folded-over', 'lead', '{{cars}} is folded, {{owner}}')).toEqual([]);
  });
});
