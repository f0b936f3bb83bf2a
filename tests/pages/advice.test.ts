import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ADVICE } from '../../src/domain/advice/advice-rows.ts';
import type { Workshop } from '../setup/workshop.ts';
import { openWorkshop } from '../setup/workshop.ts';

let shop: Workshop;
beforeAll(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
});
afterAll(() => shop.close());

const read = async (url: string, language = 'en') => {
  const answer = await shop.server.inject({ url, headers: { 'accept-language': language } });
  expect(answer.statusCode).toBe(200);
  return answer.body.replaceAll('&#39;', "'");
};

describe('the page behind “why we say this”', () => {
  it.each(['en', 'de'] as const)(
    'has every advice with its source and mark, in %s',
    async (language) => {
      const page = await read(`/advice?in=${language}`);
      expect(page).toContain(`<html lang="${language}"`);
      for (const { id, text, why, source } of ADVICE) {
        expect(page).toContain(`id="${id}"`);
        for (const words of [text, why, source]) expect(page).toContain(words[language]);
      }
      expect(
        page.match(language === 'de' ? /Werkstattregel/g : /shop rule/g)?.length,
      ).toBeGreaterThan(5);
    },
  );

  it('speaks the language of the browser where the letter named none, and one it knows', async () => {
    expect(await read('/advice', 'de-AT')).toContain('Was wir raten und warum');
    expect(await read('/advice?in=xx', 'de')).toContain('What we advise, and why');
    expect(await read('/advice?in=a&in=b', 'de')).toContain('Was wir raten und warum');
  });
});
