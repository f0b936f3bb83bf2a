import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { describeApi, OPENAPI_FILE } from './describe-api.ts';

describe('openapi.json', () => {
  it('is the description that the server gives out (npm run openapi writes it anew)', async () => {
    expect(await describeApi()).toBe(readFileSync(OPENAPI_FILE, 'utf8'));
  });

  it('is OpenAPI 3.1 and every reference in it leads somewhere', () => {
    const document = JSON.parse(readFileSync(OPENAPI_FILE, 'utf8'));
    expect(document.openapi).toMatch(/^3\.1\./);
    const text = JSON.stringify(document);
    const names = [...text.matchAll(/"#\/components\/schemas\/([^"]+)"/g)].map((m) => m[1] ?? '');
    expect(names.length).toBeGreaterThan(10);
    for (const name of new Set(names)) expect(document.components.schemas).toHaveProperty(name);
    // Every schema that is described is used: no leftovers of input twins.
    for (const name of Object.keys(document.components.schemas)) expect(names).toContain(name);
  });
});
