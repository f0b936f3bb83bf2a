import { expect, test } from 'vitest';
import { startSheet } from '../../../src/http/pages/start/start-sheet.ts';
import { voiceFor } from '../../../src/views/words/voice.ts';

type Facts = Parameters<typeof startSheet>[0];

/** What the first page says to an organisation that has set nothing up. */
function saidTo(kind: 'shop' | 'club' | 'private', language: string): string {
  const organisation = {
    kind,
    name: 'Elmyard',
    timeZone: 'Europe/London',
    email: null,
    phone: null,
    postalAddress: null,
    version: 1,
  } as unknown as Facts['organisation'];
  const diary = { weekdays: [], place: null, version: 1 } as unknown as Facts['diary'];
  const facts = { organisation, diary, address: null, lastTrial: null, hasCars: false };
  const looking = { once: 'a-fresh-one', sent: null, canTry: false };
  return JSON.stringify(startSheet(facts, looking, voiceFor(language)));
}

test.each([
  ['en', /Opening hours/, /Owners are asked to ring/, /Members are asked to ring/],
  ['de', /Öffnungszeiten/, /Halter werden gebeten/, /Mitglieder werden gebeten/],
])(
  'the first page speaks to each kind in its own words (%s)',
  (language, hours, owners, members) => {
    expect(saidTo('shop', language)).toMatch(hours);
    expect(saidTo('shop', language)).toMatch(owners);
    expect(saidTo('club', language)).toMatch(members);
    expect(saidTo('club', language)).not.toMatch(owners);
    // Whoever keeps their own cars offers nobody a day and is rung by nobody.
    for (const not of [hours, owners, members]) {
      expect(saidTo('private', language)).not.toMatch(not);
    }
  },
);
