import { describe, expect, test } from 'vitest';
import { hemisphereOf } from '../../../src/domain/advice/hemisphere.ts';

// Latitudes as in the tz database's zone.tab (published).
describe('the hemisphere of a zone', () => {
  test.each([
    'Africa/Johannesburg',
    'America/Argentina/Ushuaia',
    'America/Lima',
    'America/Santiago',
    'America/Sao_Paulo',
    'Asia/Jakarta',
    'Atlantic/Stanley',
    'Australia/Lord_Howe',
    'Indian/Mauritius',
    'NZ',
    'Pacific/Auckland',
  ])('%s is southern', (zone) => {
    expect(hemisphereOf(zone)).toBe('south');
  });

  test.each([
    'Africa/Asmera',
    'Africa/Kampala',
    'America/Bogota',
    'Asia/Singapore',
    'Atlantic/Reykjavik',
    'Europe/London',
    'Pacific/Honolulu',
    'Pacific/Tarawa',
    'UTC',
  ])('%s is northern', (zone) => {
    expect(hemisphereOf(zone)).toBe('north');
  });

  test('names only zones that the time-zone data of the runtime knows', () => {
    const southern = Intl.supportedValuesOf('timeZone').filter(
      (zone) => hemisphereOf(zone) === 'south',
    );
    expect(southern.length).toBeGreaterThan(100);
  });
});
