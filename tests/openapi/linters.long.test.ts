import { readFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { createConfig, lintFromString } from '@redocly/openapi-core';
import type { RulesetDefinition } from '@stoplight/spectral-core';
import spectral from '@stoplight/spectral-core';
import { oas } from '@stoplight/spectral-rulesets';
import { describe, expect, test } from 'vitest';
import { OPENAPI_FILE } from './describe-api.ts';

// Two linters of OpenAPI documents, each by its own recommended rules: what both pass, other people's
// programs can be made from.

async function redoclyFindings(source: string): Promise<string[]> {
  const config = await createConfig({ extends: ['recommended'] });
  const absoluteRef = pathToFileURL(OPENAPI_FILE).href;
  const findings = await lintFromString({ source, absoluteRef, config });
  return findings.map(({ ruleId, message }) => `${ruleId}: ${message}`);
}

async function spectralFindings(source: string): Promise<string[]> {
  const linter = new spectral.Spectral();
  linter.setRuleset({ extends: [[oas as RulesetDefinition, 'recommended']] });
  const findings = await linter.run(JSON.parse(source) as Record<string, unknown>);
  return findings.map(({ code, message }) => `${code}: ${message}`);
}

describe.each([
  { name: 'Redocly', findings: redoclyFindings },
  { name: 'Spectral', findings: spectralFindings },
])('$name', ({ findings }) => {
  const source = readFileSync(OPENAPI_FILE, 'utf8');

  test('finds nothing in openapi.json', async () => {
    expect(await findings(source)).toEqual([]);
  });

  test('finds what is wrong in one that was spoilt', async () => {
    const spoilt = source
      .replace('"operationId"', '"operationName"')
      .replace('#/components/schemas/', '#/components/shapes/');
    expect((await findings(spoilt)).length).toBeGreaterThan(2);
  });
});
