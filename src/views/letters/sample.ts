import { adviceOf } from '../../domain/advice/advice-rows.ts';
import { FOLDING_FIGURES } from '../../domain/folding/folding-figures.ts';
import { FRAME_PATTERNS } from '../../domain/pivots/frame-patterns.ts';
import { headOf } from '../../domain/advice/note-head.ts';
import type { LetterKind, LetterModel } from './models.ts';

/** Invented people and cars, for previews and tests. */

// A small mark of our own, drawn here: a folding frame of two arms.
const LOGO = `data:image/svg+xml;base64,${Buffer.from(
  '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40"><rect width="40" height="40" rx="8" fill="#0e5a66"/><path d="M8 29 20 12l12 17" fill="none" stroke="#fff" stroke-width="4" stroke-linecap="round"/></svg>',
).toString('base64')}`;

interface Local {
  readonly owner: string;
  readonly organisation: string;
  readonly address: string;
  readonly top: string;
  readonly because: readonly string[];
  readonly part: string;
  readonly note: string;
  readonly reason: string;
  readonly sentences: readonly [string, string];
  readonly place: string;
  readonly finding: string;
  readonly advised: string;
  readonly work: readonly string[];
  readonly tax: string;
  readonly words: string;
  readonly clubTitle: string;
  readonly clubText: readonly string[];
}

const LOCAL: Readonly<Record<'en' | 'de', Local>> = {
  en: {
    owner: 'Ada Quill',
    organisation: 'Elmyard Soft Tops',
    address: 'Unit 4, Elm Yard\nLower Lane\nXY1 2ZZ Sampleton',
    top: 'black cloth top',
    because: ['outdoors near the sea: 9 months', 'daily use: 7'],
    part: 'stitching',
    note: 'slight pull at the left rear corner, seen on the settling visit',
    reason: 'The thread for your top arrives a week later than promised.',
    sentences: [
      'Left link pivot 1 is stiff; 0.6 mm of play along the pin; at this pace it meets its limit about May 2027, though it may have met it already, or not until June 2028.',
      'Right knuckle joint 1 is dry.',
    ],
    place: 'Yard of the Old Sample Room, Otherley',
    finding: 'Tailgate seal is missing at the lower edge.',
    advised: 'Fit a new seal before the wet months.',
    work: [
      'Two joints: new spacer washers',
      'Spacer washers, 4 pairs',
      'Tailgate: new seal, drains opened',
    ],
    tax: 'Sales tax (19 %)',
    words: 'Both can be done on one day.',
    clubTitle: 'The autumn meeting is on 9 October',
    clubText: [
      'We meet at seven in the evening in the room above the library. Guests are welcome.',
      'Who brings a cake?\nPlease answer to this letter.',
    ],
  },
  de: {
    owner: 'Ada Quill',
    organisation: 'Verdeckhof Ulmengrund',
    address: 'Ulmengrund 4\n00000 Musterort',
    top: 'schwarzes Stoffverdeck',
    because: ['im Freien nahe am Meer: 9 Monate', 'täglich gefahren: 7'],
    part: 'Nähte',
    note: 'leichter Zug an der linken hinteren Ecke, gesehen beim Nachsehen nach der Montage',
    reason: 'Das Garn für Ihr Verdeck kommt eine Woche später als zugesagt.',
    sentences: [
      'Lenkergelenk 1 links geht schwer; 0,6 mm Spiel längs zum Stift; geht es so weiter, ist die Grenze etwa im Mai 2027 erreicht, vielleicht ist es schon so weit, vielleicht erst im Juni 2028.',
      'Kniegelenk 1 rechts ist trocken.',
    ],
    place: 'Hof der Alten Musterstube, Musterdorf',
    finding: 'Die Dichtung der Heckklappe fehlt an der Unterkante.',
    advised: 'Vor den nassen Monaten eine neue Dichtung einsetzen.',
    work: [
      'Zwei Gelenke: neue Unterlegscheiben',
      'Unterlegscheiben, 4 Paare',
      'Heckklappe: neue Dichtung, Abläufe geöffnet',
    ],
    tax: 'Umsatzsteuer (19 %)',
    words: 'Beides lässt sich an einem Tag machen.',
    clubTitle: 'Das Herbsttreffen ist am 9. Oktober',
    clubText: [
      'Wir treffen uns um sieben Uhr abends im Raum über der Bücherei. Gäste sind willkommen.',
      'Wer bringt einen Kuchen mit?\nBitte antworten Sie auf diesen Brief.',
    ],
  },
};

const FOUND: Readonly<Record<string, 'plan' | 'watch'>> = {
  'L-LINK1': 'plan',
  'R-KNUCKLE1': 'watch',
};
const WEEKS = ['2027-W10', '2027-W11', '2027-W13'];

/** A model of the kind with invented data, its own sentences in English or German. */
export function sampleModel<K extends LetterKind>(kind: K, language = 'en'): LetterModel<K> {
  const local = LOCAL[language.startsWith('de') ? 'de' : 'en'];
  const base = {
    language,
    organisation: {
      name: local.organisation,
      kind: 'shop' as const,
      postalAddress: local.address,
      phone: '+00 000 555 0104',
      logo: LOGO,
    },
    owner: { name: local.owner },
    links: {
      preferences: 'https://care.example.org/p/sample-token?from=letter&kind=all',
      privacy: 'https://care.example.org/privacy/sample',
      stop: 'https://care.example.org/u/sample-token',
      owner: 'https://care.example.org/o/sample-token',
      advice: `https://care.example.org/advice?in=${language.slice(0, 2)}`,
    },
    timeZone: 'Europe/London',
    today: '2027-02-15',
  };
  const car = { registration: 'FK 204' };
  const book = 'https://care.example.org/b/sample-token?from=letter&confirm=ask';
  const offers = [{ ...car, url: book, weeks: WEEKS }];
  const topped = { ...car, topWords: local.top };
  const lubrication = (today: string, lateDays: number | null) => ({
    ...base,
    today,
    cars: [
      {
        ...topped,
        lastOn: '2026-08-15',
        fittedOn: '2024-08-10',
        dueOn: '2027-03-15',
        windowFrom: '2027-02-15',
        windowTo: '2027-04-05',
        intervalMonths: 7,
        because: [...local.because],
        lateDays,
      },
    ],
    offers: [{ ...car, url: book, weeks: [] }],
  });
  const folded = (today: string, damp: boolean) => ({
    restHours: FOLDING_FIGURES.properRestHours.value,
    ...base,
    today,
    cars: [
      {
        ...topped,
        startedAt: '2027-06-04T17:20:00Z',
        limitDays: damp ? 1 : 3,
        overAt: damp ? '2027-06-05T17:20:00Z' : '2027-06-07T17:20:00Z',
        damp,
        coverOn: damp ? false : null,
      },
    ],
  });
  const visit = (on: string | null, previousOn: string | null, reason: string | null) => ({
    ...base,
    cars: [car],
    visit: {
      kind: 'lubrication' as const,
      week: on === null ? null : '2027-W10',
      on,
      times: {
        dropOffAt: `${on ?? '2027-03-09'}T08:30:00Z`,
        readyAt: `${on ?? '2027-03-09'}T10:30:00Z`,
        timeZone: 'Europe/London',
      },
      manage: book,
      minutes: 105,
      previousOn,
      elsewhere: false,
      where: null,
      reason,
    },
    offers: on === null || reason !== null ? offers : [],
  });
  const look = (today: string) => ({
    ...base,
    today,
    cars: [{ ...car, since: '2027-02-28', windowFrom: '2027-03-28', windowTo: '2027-04-25' }],
    offers,
  });
  const models: { [Kind in LetterKind]: LetterModel<Kind> } = {
    'lubrication-ahead': lubrication('2027-02-15', null),
    'lubrication-due': lubrication('2027-03-15', 0),
    'lubrication-late': lubrication('2027-04-05', 21),
    'look-due': look('2027-03-28'),
    'look-late': look('2027-05-03'),
    'folded-nearing': folded('2027-06-06', false),
    'folded-over': folded('2027-06-05', true),
    'folded-still': folded('2027-06-14', false),
    'must-stay': {
      ...base,
      cars: [car],
      oilWaits: false,
      moves: [
        {
          ...car,
          verdict: 'leave',
          reasons: [{ sign: 'seized', pivot: 'R-MAIN', fault: null }],
          how: [],
          repairOn: null,
        },
      ],
    },
    'care-note': {
      ...base,
      cars: [car],
      advice: ['cover-folded-top', 'dry-before-folding'].map((id) => adviceIn(id, language)),
    },
    'care-day-asked': {
      ...base,
      today: '2027-03-22',
      cars: [
        {
          ...car,
          on: '2027-04-17',
          place: local.place,
          from: '09:00',
          until: '16:00',
          changeUntil: '2027-04-16',
        },
      ],
      offers: [{ ...car, url: book, weeks: [] }],
    },
    'visit-offered': visit(null, null, null),
    'visit-booked': visit('2027-03-09', null, null),
    'visit-moved': { ...visit('2027-03-16', '2027-03-09', local.reason), offers: [] },
    'visit-called-off': visit('2027-03-09', null, local.reason),
    'visit-report': {
      ...base,
      cars: [car],
      visit: { kind: 'lubrication', doneOn: '2027-03-09' },
      pivots: {
        checked: 16,
        oiled: 14,
        washersMissing: 1,
        worst: [
          { code: 'R-KNUCKLE1', verdict: 'watch', sentence: local.sentences[1] },
          { code: 'L-LINK1', verdict: 'plan', sentence: local.sentences[0] },
        ],
        unseen: 2,
        repaired: ['R-MAIN'],
        notOiled: ['L-LATCH', 'R-LATCH'],
        frame: frameFound(),
      },
      measured: [
        { of: 'sway', value: 8, verdict: 'watch', held: { by: 'over', limit: 5 } },
        { of: 'diagonals', value: 2, verdict: 'good', held: { by: 'to', limit: 3 } },
        {
          of: 'force',
          value: 55,
          verdict: 'good',
          held: { by: 'more', limit: 0.2, first: { on: '2025-03-11', value: 50 } },
        },
      ],
      findings: [{ joint: null, text: local.finding, advised: local.advised, outcome: 'accepted' }],
      foreign: false,
      lookAgain: { from: '2027-04-06', to: '2027-05-04' },
      nextDueOn: '2027-10-09',
    },
    estimate: {
      ...base,
      cars: [car],
      estimate: {
        number: 7,
        currency: 'EUR',
        items: local.work.map((text, i) => ({ text, amount: [9_000, 1_240, 4_500][i] ?? 0 })),
        net: 14_740,
        tax: 2_801,
        taxName: local.tax,
        total: 17_541,
        holdsUntil: '2027-03-17',
        words: local.words,
        answer: 'https://care.example.org/e/sample-token',
      },
    },
    'club-letter': {
      ...base,
      cars: [car],
      title: local.clubTitle,
      paragraphs: [...local.clubText],
    },
    'warranty-ending': {
      ...base,
      offers: [{ ...car, url: book, weeks: [] }],
      cars: [{ ...topped, part: local.part, endsOn: '2027-04-16', openNotes: [local.note] }],
    },
  };
  return models[kind];
}

/** An advice as a letter is told of it; those that Foldkeep has are no invention. */
function adviceIn(id: string, language: string) {
  const speech = language.startsWith('de') ? 'de' : 'en';
  const row = adviceOf(id);
  if (row === undefined) throw new RangeError(`no advice ${id}`);
  const { subject, preheader } = headOf(row);
  return {
    id,
    subject: subject[speech],
    preheader: preheader[speech],
    text: row.text[speech],
    why: row.why[speech],
  };
}

/** The joints of a frame, two of them with something to say. */
function frameFound() {
  return FRAME_PATTERNS['four-seat-manual'].pivots.map(({ code, side, kind, x, y }) => ({
    code,
    side,
    kind,
    verdict: FOUND[code] ?? ('good' as const),
    x,
    y,
  }));
}
