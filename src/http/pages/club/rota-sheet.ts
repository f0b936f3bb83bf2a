import type { CareDayDesk, CarToAsk } from '../../../usecases/care-days/care-day-list.ts';
import type { CareDayWhole, PlaceRecord } from '../../../usecases/care-days/care-day-record.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Span } from '../../../domain/care-day/care-day-shape.ts';
import { clockAt } from '../../../domain/care-day/care-day-shape.ts';
import type { Post } from '../../../domain/care-day/rota.ts';
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

export interface RotaView {
  readonly done: string | undefined;
  readonly once: string;
  /** The form that came back, by its action. */
  readonly sent: { readonly action: string; readonly sent: Sent } | null;
  readonly reads: boolean;
  readonly records: boolean;
  /** Whether whoever looks may record at the bench of the day, on the day. */
  readonly helps: boolean;
}

/** The rota of a care day by time and by helper, and for who keeps it all that can be changed. */
export function rotaSheet(
  whole: CareDayWhole,
  desk: CareDayDesk | null,
  view: RotaView,
  voice: Voice,
): [Frame, RotaModel] {
  const { day, places, posts, unkept } = whole;
  const { say, language } = voice;
  const nameOf = (id: string) => day.helpers.find((one) => one.id === id)?.name ?? '';
  const byId = new Map(places.map((place) => [place.id, place]));
  const inOrder = posts.flatMap((post) => {
    const place = byId.get(post.id);
    return place === undefined ? [] : [{ post, place }];
  });
  const model: RotaModel = {
    heading: say('rota.heading', { day: voice.day(day.heldOn) }),
    facts: [
      { label: say('rota.where'), value: day.place },
      { label: say('rota.hours'), value: hoursInWords(whole, voice) },
      { label: say('rota.benches'), value: String(day.benches) },
      { label: say('rota.helpers'), value: day.helpers.map(({ name }) => name).join(', ') },
      {
        label: say('rota.takes'),
        value: say('rota.takes.minutes', {
          hand: String(day.handMinutes),
          powered: String(day.poweredMinutes),
        }),
      },
      {
        label: say('rota.choose'),
        value: say('rota.choose.until', { day: voice.day(day.changeUntil) }),
      },
    ],
    done: doneWords(view.done, voice),
    warnings: [
      ...(day.state === 'called-off' ? [say('rota.called-off')] : []),
      ...unkept.flatMap((id) => {
        const place = byId.get(id);
        return place === undefined
          ? []
          : [say('rota.unkept', { registration: place.registration, time: place.start ?? '' })];
      }),
    ],
    lines: inOrder.map(({ post, place }) => ({
      time: timesOf(post),
      registration: place.registration,
      href: view.reads && place.topId !== null ? `/tops/${place.topId}` : '',
      owner: view.reads ? place.ownerName : '',
      work: workInWords(place, voice),
      bench: String(post.bench),
      helper: nameOf(post.helperId),
      state: say(`rota.state.${place.standing}`),
      record: recordOf(place, day, view, voice),
    })),
    helpers: day.helpers.map(({ id, name, from, until }) => ({
      name,
      hours: say('rota.span', { from, until }),
      lines: inOrder
        .filter(({ post }) => post.helperId === id)
        .map(({ post, place }) =>
          say('rota.by-helper.line', {
            time: timesOf(post),
            registration: place.registration,
            bench: String(post.bench),
            work: workInWords(place, voice),
          }),
        ),
    })),
    alone: !view.reads,
    resultHref: view.reads ? `/care-day/${day.id}/result` : '',
    desk: desk === null ? null : deskOf(desk, view, voice),
  };
  return [
    {
      lang: language,
      title: say('rota.title'),
      nav: view.reads ? { here: 'care-day' } : null,
    },
    model,
  ];
}

/** What came of the form that led here; an address may name anything. */
function doneWords(done: string | undefined, { say, has }: Voice): string {
  const key = `rota.done.${done ?? ''}`;
  return has(key) ? say(key) : '';
}

function timesOf({ start, end }: Post): string {
  return `${clockAt(start)}–${clockAt(end)}`;
}

function hoursInWords({ day }: CareDayWhole, { say, locale }: Voice): string {
  const inWords = ({ from, until }: Span) => say('rota.span', { from, until });
  const hours = inWords(day);
  if (day.breaks.length === 0) return hours;
  return say('rota.hours.pauses', { hours, pauses: locale.list(day.breaks.map(inWords)) });
}

/** What is to be done; whoever works on the car must know that its top stays as it is. */
function workInWords({ powered, mayMove: { verdict } }: PlaceRecord, { say }: Voice): string {
  const top = say(powered ? 'rota.work.powered' : 'rota.work.hand');
  if (verdict === 'leave') return say('rota.work.leave', { top });
  return verdict === 'with-care' ? say('rota.work.care', { top }) : top;
}

function recordOf(
  { id, doneVisitId, visitId }: PlaceRecord,
  { id: dayId, heldOn, today, state }: CareDayWhole['day'],
  { records, reads, helps }: RotaView,
  { say }: Voice,
) {
  if (!reads) {
    const works = helps && heldOn === today && state !== 'called-off';
    if (!works || (doneVisitId ?? visitId) === null) return null;
    const words = say(doneVisitId === null ? 'rota.record.write' : 'rota.record.right');
    return { href: `/care-day/${dayId}/places/${id}/work`, words };
  }
  if (doneVisitId !== null) {
    return { href: `/visits/${doneVisitId}/record`, words: say('rota.record.found') };
  }
  return records && visitId !== null
    ? { href: `/visits/${visitId}/done`, words: say('rota.record.write') }
    : null;
}

/** Headings before the day is over, and after it. */
const GROUPS: readonly {
  readonly heading: string;
  readonly after: string;
  readonly belongs: (place: PlaceRecord) => boolean;
}[] = [
  {
    heading: 'rota.group.leave',
    after: 'rota.group.leave',
    belongs: ({ mayMove }) => mayMove.verdict === 'leave',
  },
  {
    heading: 'rota.group.waiting',
    after: 'rota.group.waited',
    belongs: ({ standing }) => standing === 'waiting',
  },
  {
    heading: 'rota.group.placed',
    after: 'rota.group.had-time',
    belongs: ({ standing }) => standing === 'placed',
  },
  {
    heading: 'rota.group.asked',
    after: 'rota.group.never-answered',
    belongs: ({ standing }) => standing === 'asked',
  },
  {
    heading: 'rota.group.out',
    after: 'rota.group.stayed-away',
    belongs: ({ standing }) => standing === 'declined' || standing === 'missed',
  },
];

function deskOf(desk: CareDayDesk, view: RotaView, voice: Voice): NonNullable<RotaModel['desk']> {
  const { say } = voice;
  const { day, places, toAsk } = desk;
  const own = `/care-day/${day.id}`;
  const over = day.state === 'called-off' || day.heldOn < day.today;
  const { once } = view;
  const sentTo = (action: string) => (view.sent?.action === action ? view.sent.sent : null);
  const shown = new Set<string>();
  const groups = GROUPS.map(({ heading, after, belongs }) => ({
    heading: say(over ? after : heading),
    places: places
      .filter((place) => place.standing !== 'done' && belongs(place) && !shown.has(place.id))
      .map((place) => {
        shown.add(place.id);
        return placeModel(desk, place, over, view, voice);
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
        label: say('rota.ask.car', { registration, owner: ownerName, day: voice.day(dueOn) }),
        ticked: false,
      })),
    notAsked: toAsk.filter(({ not }) => not !== null).map((car) => notAskedWords(car, voice)),
    fill: over || waiting === 0 ? null : formOf(`${own}/fill`, once, sentTo(`${own}/fill`), []),
    fillWords: voice.count('rota.fill.waiting', waiting),
    callOff: over ? null : formOf(`${own}/call-off`, once, sentTo(`${own}/call-off`), []),
    version: String(day.version),
  };
}

function notAskedWords({ registration, ownerName, not }: CarToAsk, { say }: Voice): string {
  return say(`rota.not-asked.${not ?? 'booked'}`, { registration, owner: ownerName });
}

function placeModel(
  { day, free }: CareDayDesk,
  place: PlaceRecord,
  over: boolean,
  { once, sent }: RotaView,
  { say }: Voice,
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
      say('rota.time'),
      [
        ...(start === null ? [['', say('rota.place.time')] as const] : []),
        ...all.map((one) => [one, one] as const),
      ],
      { value: start ?? '', ...at('start') },
    ),
    field(mine, 'minutes', say('rota.place.minutes'), {
      value: minutes,
      mode: 'numeric',
      ...at('minutes'),
    }),
    choice(
      mine,
      'bench',
      say('rota.bench'),
      [
        ['', say('rota.place.any')],
        ...Array.from({ length: day.benches }, (_, i) => [String(i + 1), String(i + 1)] as const),
      ],
      { value: place.bench === null ? '' : String(place.bench), ...at('bench') },
    ),
    choice(
      mine,
      'helper',
      say('rota.helper'),
      [['', say('rota.place.anybody')], ...day.helpers.map((one) => [one.id, one.name] as const)],
      { value: place.helperId ?? '', ...at('helper') },
    ),
  ];
  const stays = mayMove.verdict === 'leave';
  return {
    registration,
    owner: ownerName,
    words:
      start !== null && standing === 'placed'
        ? say('rota.place.placed', { time: start, minutes: String(minutes) })
        : say('rota.place.length', { minutes: String(minutes) }),
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
