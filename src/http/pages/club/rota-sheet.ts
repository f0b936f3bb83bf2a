import type { CareDayDesk, CarToAsk } from '../../../usecases/care-days/care-day-list.ts';
import type { CareDayWhole, PlaceRecord } from '../../../usecases/care-days/care-day-record.ts';
import { voiceFor } from '../../../views/words/voice.ts';
import { clockAt } from '../../../domain/care-day/care-day-shape.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { choice, field, formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';

interface RotaLine {
  readonly time: string;
  readonly registration: string;
  readonly href: string;
  /** The owner's name; empty for whoever does not read records. */
  readonly owner: string;
  readonly work: string;
  readonly bench: string;
  readonly helper: string;
  readonly state: string;
  /** Where what was done is written down, or read. */
  readonly record: { readonly href: string; readonly words: string } | null;
}

interface PlaceModel {
  readonly registration: string;
  readonly owner: string;
  readonly words: string;
  /** Empty where nothing can be said by hand. */
  readonly form: FormModel | null;
  readonly version: string;
  readonly fields: readonly FieldModel[];
  readonly off: string;
}

export interface RotaModel {
  readonly heading: string;
  readonly facts: readonly { readonly label: string; readonly value: string }[];
  readonly done: string;
  readonly warnings: readonly string[];
  readonly lines: readonly RotaLine[];
  readonly helpers: readonly {
    readonly name: string;
    readonly hours: string;
    readonly lines: readonly string[];
  }[];
  /** A volunteer has no other page, and so no links to any. */
  readonly alone: boolean;
  readonly resultHref: string;
  /** Null for whoever only helps. */
  readonly desk: {
    readonly changeHref: string;
    readonly orderHref: string;
    readonly groups: readonly {
      readonly heading: string;
      readonly places: readonly PlaceModel[];
    }[];
    readonly ask: FormModel | null;
    readonly toAsk: readonly {
      readonly id: string;
      readonly label: string;
      readonly ticked: boolean;
    }[];
    readonly notAsked: readonly string[];
    readonly fill: FormModel | null;
    readonly fillWords: string;
    readonly callOff: FormModel | null;
    readonly version: string;
  } | null;
}

export interface RotaLooking {
  readonly done: string | undefined;
  readonly once: string;
  /** The form that came back, by its action. */
  readonly sent: { readonly action: string; readonly sent: Sent } | null;
  readonly reads: boolean;
  readonly records: boolean;
  /** Whether whoever looks may record at the bench of the day, on the day. */
  readonly helps: boolean;
}

const DONE: Readonly<Record<string, string>> = {
  planned: 'The day is planned. Nobody is asked yet: tick below whose owners shall be asked.',
  changed: 'Kept.',
  asked: 'They are asked. Whoever chooses a time appears in the rota by itself.',
  placed: 'Kept. The owner gets a letter where the time is new.',
  off: 'Taken off the day.',
  recorded:
    'Written down, with your name. Until the end of the day you can put it right from its line.',
  filled: 'Times are given, as far as there is room.',
  'called-off': 'Called off. Whoever had a time gets a letter.',
};

/** The rota of a care day by time and by helper, and for who keeps it all that can be changed. */
export function rotaSheet(
  whole: CareDayWhole,
  desk: CareDayDesk | null,
  looking: RotaLooking,
): [Frame, RotaModel] {
  const { day, places, posts, unkept } = whole;
  const voice = voiceFor('en');
  const nameOf = (id: string) => day.helpers.find((one) => one.id === id)?.name ?? '';
  const byId = new Map(places.map((place) => [place.id, place]));
  const inOrder = posts.flatMap((post) => {
    const place = byId.get(post.id);
    return place === undefined ? [] : [{ post, place }];
  });
  const model: RotaModel = {
    heading: `Care day, ${voice.day(day.heldOn)}`,
    facts: [
      { label: 'Where', value: day.place },
      { label: 'Hours', value: `${day.from} to ${day.until}${pausesInWords(whole)}` },
      { label: 'Benches', value: String(day.benches) },
      { label: 'Helpers', value: day.helpers.map(({ name }) => name).join(', ') },
      {
        label: 'A car takes',
        value: `${day.handMinutes} min, with a powered top ${day.poweredMinutes} min`,
      },
      { label: 'Members choose', value: `until ${voice.day(day.changeUntil)}` },
    ],
    done: DONE[looking.done ?? ''] ?? '',
    warnings: [
      ...(day.state === 'called-off' ? ['This care day is called off.'] : []),
      ...unkept.flatMap((id) => {
        const place = byId.get(id);
        return place === undefined
          ? []
          : [
              `${place.registration} at ${place.start ?? ''}: no bench or nobody is free for it. Give it another time, or add a helper.`,
            ];
      }),
    ],
    lines: inOrder.map(({ post, place }) => ({
      time: `${clockAt(post.start)}–${clockAt(post.end)}`,
      registration: place.registration,
      href: looking.reads && place.topId !== null ? `/tops/${place.topId}` : '',
      owner: looking.reads ? place.ownerName : '',
      work: workInWords(place),
      bench: String(post.bench),
      helper: nameOf(post.helperId),
      state: STATES[place.standing] ?? '',
      record: recordOf(place, day, looking),
    })),
    helpers: day.helpers.map(({ id, name, from, until }) => ({
      name,
      hours: `${from} to ${until}`,
      lines: inOrder
        .filter(({ post }) => post.helperId === id)
        .map(
          ({ post, place }) =>
            `${clockAt(post.start)}–${clockAt(post.end)} ${place.registration}, bench ${post.bench}; ${workInWords(place)}`,
        ),
    })),
    alone: !looking.reads,
    resultHref: looking.reads ? `/care-day/${day.id}/result` : '',
    desk: desk === null ? null : deskOf(desk, looking),
  };
  return [
    { lang: 'en', title: 'Care day', nav: looking.reads ? { here: 'care-day' } : null },
    model,
  ];
}

const STATES: Readonly<Record<string, string>> = {
  placed: 'comes',
  done: 'done',
  missed: 'did not come',
};

function pausesInWords({ day }: CareDayWhole): string {
  const pauses = day.breaks.map(({ from, until }) => `${from} to ${until}`);
  return pauses.length === 0 ? '' : `, pause ${pauses.join(' and ')}`;
}

/** What is to be done; whoever works on the car must know that its top stays as it is. */
function workInWords({ powered, mayMove: { verdict } }: PlaceRecord): string {
  const top = powered ? 'powered top' : 'worked by hand';
  if (verdict === 'leave') return `${top}; leave the top as it is`;
  return verdict === 'with-care' ? `${top}; move it with care` : top;
}

function recordOf(
  { id, doneVisitId, visitId }: PlaceRecord,
  { id: dayId, heldOn, today, state }: CareDayWhole['day'],
  { records, reads, helps }: RotaLooking,
) {
  if (!reads) {
    const works = helps && heldOn === today && state !== 'called-off';
    if (!works || (doneVisitId ?? visitId) === null) return null;
    const words = doneVisitId === null ? 'Write down' : 'Put right';
    return { href: `/care-day/${dayId}/places/${id}/work`, words };
  }
  if (doneVisitId !== null) {
    return { href: `/visits/${doneVisitId}/record`, words: 'What was found' };
  }
  return records && visitId !== null
    ? { href: `/visits/${visitId}/done`, words: 'Write down' }
    : null;
}

const GROUPS: readonly (readonly [string, (place: PlaceRecord) => boolean])[] = [
  ['May not be driven: ring', ({ mayMove }) => mayMove.verdict === 'leave'],
  ['On the waiting list', ({ standing }) => standing === 'waiting'],
  ['Have a time', ({ standing }) => standing === 'placed'],
  ['Asked, no answer yet', ({ standing }) => standing === 'asked'],
  ['Do not come', ({ standing }) => standing === 'declined' || standing === 'missed'],
];

function deskOf(desk: CareDayDesk, looking: RotaLooking): NonNullable<RotaModel['desk']> {
  const { day, places, toAsk } = desk;
  const own = `/care-day/${day.id}`;
  const over = day.state === 'called-off' || day.heldOn < day.today;
  const { once } = looking;
  const sentTo = (action: string) => (looking.sent?.action === action ? looking.sent.sent : null);
  const shown = new Set<string>();
  const groups = GROUPS.map(([heading, belongs]) => ({
    heading,
    places: places
      .filter((place) => place.standing !== 'done' && belongs(place) && !shown.has(place.id))
      .map((place) => {
        shown.add(place.id);
        return placeModel(desk, place, over, looking);
      }),
  }));
  const waiting = places.filter(({ standing }) => standing === 'waiting').length;
  return {
    changeHref: over ? '' : `${own}/change`,
    orderHref: `${own}/order`,
    groups: groups.filter((group) => group.places.length > 0),
    ask: over ? null : formOf(`${own}/ask`, once, sentTo(`${own}/ask`), []),
    toAsk: toAsk
      .filter(({ not }) => not === null)
      .map(({ carId, registration, ownerName, dueOn }) => ({
        id: carId,
        label: `${registration}, ${ownerName}: due ${voiceFor('en').day(dueOn)}`,
        ticked: false,
      })),
    notAsked: toAsk.filter(({ not }) => not !== null).map(notAskedWords),
    fill: over || waiting === 0 ? null : formOf(`${own}/fill`, once, sentTo(`${own}/fill`), []),
    fillWords: waiting === 1 ? 'One car waits for a time.' : `${waiting} cars wait for a time.`,
    callOff: over ? null : formOf(`${own}/call-off`, once, sentTo(`${own}/call-off`), []),
    version: String(day.version),
  };
}

function notAskedWords({ registration, ownerName, not }: CarToAsk): string {
  return not === 'must-stay'
    ? `${registration}, ${ownerName}: its top must not be moved before it is repaired, so it is not asked to be driven here`
    : `${registration}, ${ownerName}: has a visit booked`;
}

function placeModel(
  { day, free }: CareDayDesk,
  place: PlaceRecord,
  over: boolean,
  { once, sent }: RotaLooking,
): PlaceModel {
  const { id, registration, ownerName, mayMove, standing, start, minutes } = place;
  const action = `/care-day/${day.id}/places/${id}`;
  const mine = sent?.action === action ? sent.sent : null;
  const times = (free.get(id) ?? []).map(clockAt);
  const all = start === null || times.includes(start) ? times : [start, ...times].toSorted();
  const at = (name: string) => ({ id: `${name}-${id}` });
  const fields = [
    choice(
      mine,
      'start',
      'Time',
      [
        ...(start === null ? [['', 'no time yet'] as const] : []),
        ...all.map((one) => [one, one] as const),
      ],
      { value: start ?? '', ...at('start') },
    ),
    field(mine, 'minutes', 'Minutes', { value: minutes, mode: 'numeric', ...at('minutes') }),
    choice(
      mine,
      'bench',
      'Bench',
      [
        ['', 'any'],
        ...Array.from({ length: day.benches }, (_, i) => [String(i + 1), String(i + 1)] as const),
      ],
      { value: place.bench === null ? '' : String(place.bench), ...at('bench') },
    ),
    choice(
      mine,
      'helper',
      'Helper',
      [['', 'anybody'], ...day.helpers.map((one) => [one.id, one.name] as const)],
      { value: place.helperId ?? '', ...at('helper') },
    ),
  ];
  const stays = mayMove.verdict === 'leave';
  return {
    registration,
    owner: ownerName,
    words: start !== null && standing === 'placed' ? `${start}, ${minutes} min` : `${minutes} min`,
    form: over || standing === 'missed' ? null : formOf(action, once, mine, fields),
    version: String(place.version),
    fields: stays ? [] : fields,
    off: `${action}/off`,
  };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly rota: RotaModel;
  }
}
