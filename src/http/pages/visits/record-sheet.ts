import type { Voice } from '../../../views/words/voice.ts';
import type { Page } from '../../../usecases/context/paging.ts';
import type { PhotoRecord } from '../../../usecases/photos/photos.ts';
import type { TrailRecord } from '../../../usecases/trail/read-trail.ts';
import type { TopPageRecord } from '../../../usecases/day/top-page.ts';
import { dayIn } from '../../../domain/calendar/zone.ts';
import type { LeftReport } from '../../../usecases/visits/report-anew.ts';
import type { VisitRecord } from '../../../usecases/own/visit-records.ts';
import { visitModel, type VisitModel } from '../cars/car-visits.ts';
import type { FormModel, Sent } from '../frame/form.ts';
import { formOf } from '../frame/form.ts';
import { foundInWords } from '../frame/finding-words.ts';
import { KEEP_SCRIPT } from '../frame/script.ts';
import type { Frame } from '../frame/frame.ts';
import { type PhotoModel, photoModel } from '../photos/photo-model.ts';
import { type TrailModel, trailModel } from '../shop/trail-lines.ts';

export interface RecordFacts extends Pick<TopPageRecord, 'top' | 'car'> {
  readonly visit: VisitRecord;
  readonly trail: Page<TrailRecord>;
  readonly photos: readonly PhotoRecord[];
  readonly report: LeftReport | null;
  readonly careDay: { readonly id: string; readonly heldOn: string } | null;
}

export interface RecordModel {
  readonly done: string;
  readonly registration: string;
  readonly topHref: string;
  readonly carHref: string;
  /** The care day that it belongs to, to go on there; null for others. */
  readonly careDay: { readonly href: string; readonly words: string } | null;
  readonly visit: VisitModel;
  /** What was found, each with its photos and where the next one of it is taken. */
  readonly findings: readonly {
    readonly words: string;
    readonly photos: readonly PhotoModel[];
    readonly take: string | null;
  }[];
  readonly trail: TrailModel;
  /** Those that show none of the findings. */
  readonly photos: readonly PhotoModel[];
  /** Where the next photo of it is taken. */
  readonly photosHref: string;
  /** What may be done with it; null for whoever may only read, and for what did not take place. */
  readonly acts: {
    readonly correct: string;
    readonly parts: string;
    readonly version: string;
    readonly withdraw: FormModel;
    /** The report that left says what stood before, and by what it is written anew. */
    readonly anew: { readonly words: string; readonly form: FormModel } | null;
    /** Set right after it was recorded: one press takes it back. */
    readonly undo: boolean;
    readonly decide: readonly {
      readonly words: string;
      readonly form: FormModel;
      readonly outcome: string;
    }[];
  } | null;
}

const LONGEST_WORDS = 200;
const DONE: readonly string[] = ['visit', 'corrected', 'reported', 'decided', 'photo', 'parts'];

/** What was recorded of a visit, with what can still be done about it. */
export function recordSheet(
  { visit, top, car, trail, photos, report, careDay }: RecordFacts,
  view: {
    readonly records: boolean;
    readonly done: string | undefined;
    readonly once: string;
    readonly sent: Sent | null;
  },
  voice: Voice,
): [Frame, RecordModel] {
  const { once, sent, done = '' } = view;
  const own = `/visits/${visit.id}`;
  const acts = {
    correct: `${own}/correct`,
    parts: `${own}/parts`,
    version: String(visit.version),
    withdraw: formOf(`${own}/withdraw`, once, sent, []),
    anew:
      report?.outdated === true
        ? {
            words: voice.say('record.anew.lead', {
              day: voice.day(dayIn(car.timeZone, report.at)),
              name: report.toName,
            }),
            form: formOf(`${own}/report`, once, null, []),
          }
        : null,
    undo: view.done === 'visit',
    decide: visit.findings.map((finding) => ({
      words: foundInWords(finding, voice),
      form: formOf(`${own}/findings/${finding.id}`, once, null, []),
      outcome: finding.outcome,
    })),
  };
  const told = visitModel(visit, false, voice);
  const shows = (photo: PhotoRecord, finding: VisitRecord['findings'][number]) =>
    photo.words === spoken(finding) || (photo.pivot !== null && photo.pivot === finding.pivot);
  const photosHref = `/cars/${car.id}/photos?visit=${visit.id}`;
  const model: RecordModel = {
    done: DONE.includes(done) ? voice.say(`record.came.${done}`) : '',
    registration: car.registration,
    topHref: `/tops/${top.id}`,
    carHref: `/cars/${car.id}`,
    careDay: careDay && {
      href: `/care-day/${careDay.id}`,
      words: voice.say('record.care-day', { day: voice.day(careDay.heldOn) }),
    },
    visit: told,
    findings: visit.findings.map((finding, i) => ({
      words: told.findings[i] ?? '',
      photos: photos
        .filter((photo) => shows(photo, finding))
        .map((photo) => photoModel(photo, voice)),
      take: view.records ? `${photosHref}&${aboutOf(finding)}` : null,
    })),
    trail: trailModel(trail.items, car.timeZone, '', voice),
    photos: photos
      .filter((photo) => !visit.findings.some((finding) => shows(photo, finding)))
      .map((photo) => photoModel(photo, voice)),
    photosHref,
    acts: view.records && visit.state === 'done' ? acts : null,
  };
  const script = KEEP_SCRIPT.address;
  return [
    { lang: voice.language, title: voice.say('record.title'), script, nav: { here: 'tops' } },
    model,
  ];
}

/** What a photo of a finding is called: what was seen, as long as the words of a photo may be. */
function spoken({ text }: VisitRecord['findings'][number]): string {
  return text.replace(/\s+/g, ' ').trim().slice(0, LONGEST_WORDS).trim();
}

function aboutOf(finding: VisitRecord['findings'][number]): string {
  const about = { words: spoken(finding), ...(finding.pivot ? { pivot: finding.pivot } : {}) };
  return new URLSearchParams(about).toString();
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'visit-record': RecordModel;
  }
}
