import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fieldsOf } from '../../src/http/pages/reference/api-fields.ts';
import type { Workshop } from '../setup/workshop.ts';
import { openWorkshop } from '../setup/workshop.ts';

let shop: Workshop;
let html: string;
// oxlint-disable-next-line typescript/no-explicit-any -- a document of many shapes
let document: any;
beforeAll(async () => {
  shop = await openWorkshop('2026-06-12T09:00:00.000Z');
  html = (await shop.get('/reference')).body;
  document = (await shop.get('/openapi.json')).body;
});
afterAll(() => shop.close());

describe('the reference', () => {
  it('shows every operation and every field of its body', () => {
    let operations = 0;
    for (const [path, methods] of Object.entries<Record<string, never>>(document.paths)) {
      for (const [method, operation] of Object.entries<{ summary: string; requestBody?: never }>(
        methods,
      )) {
        operations++;
        expect(html).toContain(
          `<span class="method">${method.toUpperCase()}</span> <code>${path}</code>`,
        );
        expect(operation.summary).toBeTruthy();
      }
    }
    expect(html.match(/<span class="method">/g)).toHaveLength(operations);
    expect(operations).toBeGreaterThan(25);
    for (const field of ['keeping.place', 'readings[].axialPlayMm', 'handbook.foldedLimitDays']) {
      expect(html).toContain(`<code>${field}</code>`);
    }
  });

  it('leads every link on the page to a place on it', () => {
    const ids = new Set([...html.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id));
    const targets = [...html.matchAll(/href="#([^"]+)"/g)].map(([, id]) => id);
    expect(targets.length).toBeGreaterThan(50);
    for (const target of targets) expect(ids).toContain(target);
    const all = [...html.matchAll(/ id="([^"]+)"/g)];
    expect(all).toHaveLength(ids.size);
  });

  it('says types, bounds, defaults, descriptions and examples in words', () => {
    const schema = {
      type: 'object',
      required: ['day'],
      properties: {
        day: { type: 'string', format: 'date', example: '2026-03-14' },
        limit: { type: 'integer', minimum: 1, maximum: 200, default: 50 },
        big: { type: 'integer', minimum: -9007199254740991, maximum: 9007199254740991 },
        state: { type: 'string', enum: ['free', 'dry'], description: 'As found.' },
        until: { anyOf: [{ type: 'string', format: 'date-time' }, { type: 'null' }] },
        parts: {
          type: 'array',
          maxItems: 3,
          items: { type: 'object', properties: { mm: { type: 'number', minimum: 0 } } },
        },
        shape: { $ref: '#/components/schemas/Top' },
      },
    };
    const told = fieldsOf(schema).map(
      ({ name, type, needed, limits }) => `${name}: ${type}${needed ? '!' : ''} (${limits})`,
    );
    expect(told).toEqual([
      'day: day! ()',
      'limit: whole number (1 to 200; 50 where left out)',
      'big: whole number ()',
      'state: one of (free, dry)',
      'until: instant or null ()',
      'parts: list of object (3 entries at most)',
      'parts[].mm: number (0 at least)',
      'shape: Top ()',
    ]);
  });

  it('gives examples that the server takes', async () => {
    const owner = html.slice(html.indexOf('id="post-v1-owners"')).replaceAll('&quot;', '"');
    const example = /-d &#39;(\{[^<]*?\})&#39;<\/pre>/.exec(owner)?.[1] ?? '';
    const answer = await shop.post('/v1/owners', JSON.parse(example));
    expect(answer.status).toBe(201);
  });
});
