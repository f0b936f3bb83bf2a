import { expect, it } from 'vitest';
import { searchFor } from '../../src/domain/search/match.ts';
import { eachDatabase } from '../setup/databases.ts';
import { fitted } from '../setup/workshop.ts';
import { openDesk, wordsOf } from './desk.ts';

eachDatabase('finding a car', ({ open }) => {
  it('looks into registration and owner’s name, of one organisation, page by page', async () => {
    const shop = await open('2026-06-12T09:00:00.000Z');
    for (const [registration, name] of [
      ['FK 12 ABC', 'Ada Quill'],
      ['K-ÖL 7', 'Jörg Müßig'],
      ['100% X_Y', 'Zoë Ångström'],
      ['FK 3', 'Ada  Brook'],
    ]) {
      await fitted(shop, { car: { registration }, owner: { name } });
    }
    const key = shop.key;
    shop.key = await shop.keyFor('Another Club');
    await fitted(shop, { car: { registration: 'FK 999' } });
    shop.key = key;
    const found = async (search: string, more = '') => {
      const { status, body } = await shop.get(
        `/v1/cars?search=${encodeURIComponent(search)}${more}`,
      );
      expect(status).toBe(200);
      return body.items.map((car: { registration: string }) => car.registration);
    };
    expect(await found('k12a')).toEqual(['FK 12 ABC']);
    expect(await found(' f K 1 2 ')).toEqual(['FK 12 ABC']);
    expect(await found('k-öl7')).toEqual(['K-ÖL 7']);
    expect(await found('JÖRG')).toEqual(['K-ÖL 7']);
    expect(await found('jorg mussig')).toEqual(['K-ÖL 7']);
    expect(await found('joerg')).toEqual(['K-ÖL 7']);
    expect(await found('ångstrom')).toEqual(['100% X_Y']);
    expect(await found('%')).toEqual(['100% X_Y']);
    expect(await found('_')).toEqual(['100% X_Y']);
    expect(await found('f%k')).toEqual([]);
    expect(await found("'")).toEqual([]);
    expect(await found('ada b')).toEqual(['FK 3']);
    expect(await found('FK 999')).toEqual([]);
    const known = {
      owner: {
        name: 'Nils Fieldfare',
        email: 'nils@fieldfare.example.net',
        phone: '+44 20 7946 0112',
        postcode: 'ZX9 4QT',
      },
      car: { registration: 'FK 4', make: 'Sample', model: 'Roadster Öre' },
    };
    await fitted(shop, known);
    for (const typed of ['7946 0112', '020 79460112', '+44 20 79460112', 'FIELDFARE.example']) {
      const hit = typed.includes('.') ? `@${typed}` : typed;
      expect([hit, await found(hit)]).toEqual([hit, ['FK 4']]);
    }
    expect(await found('zx9 4')).toEqual(['FK 4']);
    expect(await found('zx94q')).toEqual(['FK 4']);
    expect(await found('x94')).toEqual([]);
    expect(await found('sample road')).toEqual(['FK 4']);
    expect(await found('roadster ore')).toEqual(['FK 4']);
    expect(await found('011')).toEqual([]);
    const first = await shop.get('/v1/cars?search=ada&limit=1');
    expect(first.body.items).toHaveLength(1);
    expect(await found('ada', `&limit=1&after=${first.body.next}`)).toEqual(['FK 3']);
    const { ownerId } = first.body.items[0];
    expect(await found('fk', `&ownerId=${ownerId}`)).toEqual(['FK 12 ABC']);
    const blank = await shop.get('/v1/cars?search=%20');
    expect([blank.status, blank.body.errors[0].pointer]).toEqual([400, 'search']);
    expect((await shop.get(`/v1/cars?search=${'x'.repeat(101)}`)).status).toBe(400);

    const desk = await openDesk(shop);
    const page = await desk.open('/find?q=ada');
    expect(page.headers['cache-control']).toBe('no-store');
    expect(wordsOf(page.html)).toMatch(/FK 12 ABC Ada Quill top : oil due on .* FK 3 Ada Brook/);
    expect(page.html).toContain('value="ada"');
    expect(wordsOf((await desk.open('/find?q=%25')).html)).toContain('100% X_Y');
    expect(wordsOf((await desk.open('/find?q=fk+999')).html)).toContain('No car and no owner');
    expect(wordsOf((await desk.open('/find')).html)).toContain('Type a part');
    expect((await desk.open(`/find?q=${'x'.repeat(300)}`)).status).toBe(200);
    const risky = (await desk.open('/find?q=%22%3E%3Cscript%3E')).html;
    expect(risky).not.toContain('<script');
    await shop.close();
  });
});

it('matches letters as people type them', () => {
  const car = { registration: 'AB 1', ownerName: 'Søren Łuczak-Straße' };
  for (const typed of ['soren', 'soeren', 'LUCZAK', 'strasse', 'STRAẞE', 'Łucz', 'ab1', 'A B1']) {
    expect([typed, searchFor(typed)?.(car)]).toEqual([typed, true]);
  }
  for (const typed of ['sxren', 'ab2', 's%n', 'luczakstrasse']) {
    expect([typed, searchFor(typed)?.(car)]).toEqual([typed, false]);
  }
  for (const typed of ['', '  ', '\u0301']) expect(searchFor(typed)).toBeNull();
});
