import type { Voice } from '../../../views/words/voice.ts';
import type { Day } from '../../../domain/calendar/day.ts';
import { type ShopStay, shopStay } from '../frame/stay-words.ts';
import { LUBRICANTS } from '../../../domain/pivots/lubricants.ts';
import { dayField } from '../frame/day-fields.ts';
import type { FieldModel, FormModel, Sent, TickModel } from '../frame/form.ts';
import { choice, field, formOf, spokenChoices } from '../frame/form.ts';
import { KEEP_SCRIPT } from '../frame/script.ts';
import type { Frame } from '../frame/frame.ts';
import type { TopPageRecord } from '../../../usecases/day/top-page.ts';
import type { FindingRecord, VisitRecord } from '../../../usecases/own/visit-records.ts';
import { VISIT_KINDS } from '../../../usecases/own/visit-records.ts';
import { cautionWords } from '../frame/caution-words.ts';
import { declinedInWords } from './declined-words.ts';
import { OTHERS, presetIn, presetOthers } from './others-word.ts';
import type { FindingModel, RowModel } from './visit-rows.ts';
import { findingModels, isUsed, rowModel } from './visit-rows.ts';

export interface VisitFormFacts extends TopPageRecord {
  /** The booking that is completed; null for a visit that nobody booked. */
  readonly visit: VisitRecord | null;
  /** What was declined earlier. */
  readonly declined: readonly FindingRecord[];
}

export interface VisitFormModel extends ShopStay {
  readonly heading: string;
  readonly registration: string;
  readonly topHref: string;
  /** Empty at the bench of a care day. */
  readonly workHref: string;
  readonly form: FormModel;
  readonly button: string;
  /** How the visit stands now, where two put it right at once. */
  readonly standing: readonly string[];
  readonly version: string;
  /** Whether a recorded visit is put right, of which findings can be taken back. */
  readonly corrects: boolean;
  readonly kind: FieldModel | null;
  readonly doneOn: FieldModel;
  readonly minutes: FieldModel;
  readonly others: FieldModel;
  /** What stood chosen of them before anybody pressed one, where the kind can be chosen; else empty. */
  readonly preset: string;
  readonly lubricant: FieldModel;
  readonly lubricants: readonly string[];
  /** Empty for a top that is folded by hand. */
  readonly hydraulics: readonly string[];
  /** The pivots by side, each side in the order of its drawing. */
  readonly sides: readonly { readonly name: string; readonly rows: readonly RowModel[] }[];
  readonly findings: readonly FindingModel[];
  readonly measures: readonly FieldModel[];
  /** That a play which looks like a slip was measured so; null where none was typed. */
  readonly surely: TickModel | null;
  readonly measuresOpen: boolean;
  readonly notes: FieldModel;
  readonly declined: readonly string[];
  readonly cautions: readonly string[];
}

/** A done visit that is put right, with what stands of it now where somebody else changed it. */
export interface Corrected {
  readonly id: string;
  readonly version: number;
  readonly standing: readonly string[];
}

/** The bench of a care day: whoever helps there has no other pages to go to. */
export interface Bench {
  readonly action: string;
  readonly back: string;
}

/** The tick by which a play that looks like a slip is said to be so. */
export const SURELY = 'surely';
const SIDES = ['L', 'R'] as const;
const NAMES = Object.values(LUBRICANTS).map(({ name }) => name);

/** What is looked at besides on a powered top; from memory, as repair manuals have it. */
const HYDRAULICS = ['fluid', 'rods', 'slow', 'silent', 'lid', 'never'] as const;

/** What the form was opened or sent for. */
export interface VisitFormView {
  readonly once: string;
  readonly sent: Sent | null;
  readonly kind: string;
  /** Set where a visit that was recorded is put right. */
  readonly corrected?: Corrected;
  /** Set for whoever helps on a care day. */
  readonly bench?: Bench;
}

/**
 * The form for what was done on a visit: one row for each pivot in the order of its drawing, folded
 * up unless the pivot needs a look, so that an oiling without news takes one press.
 */
export function visitFormSheet(
  facts: VisitFormFacts,
  { once, sent, kind, corrected, bench }: VisitFormView,
  voice: Voice,
): [Frame, VisitFormModel] {
  const { say } = voice;
  const { top, car, visit, today } = facts;
  const oils = (visit?.kind ?? kind) === 'lubrication';
  const kinds =
    visit === null
      ? choice(
          sent,
          'kind',
          say('visit-form.kind'),
          spokenChoices(voice, 'visit-form.kind', VISIT_KINDS),
          { radio: true, value: kind },
        )
      : null;
  const doneOn = dayField(sent, 'doneOn', say('visit-form.day'), voice, {
    value: firstDay(visit?.plannedOn ?? today, facts),
    needed: true,
  });
  const minutes = field(sent, 'minutes', say('visit-form.minutes'), {
    mode: 'numeric',
    value: visit?.minutes,
  });
  const others = choice(
    sent,
    'others',
    say('visit-form.others'),
    spokenChoices(voice, 'visit-form.others', OTHERS),
    { radio: true, value: presetOthers(visit?.kind ?? kind) },
  );
  const lubricant = field(sent, 'lubricant', say('visit-form.lubricant'), {
    list: 'lubricants',
    hint: say('visit-form.lubricant.hint'),
  });
  const bad = new Set(top.mayMove.reasons.map((reason) => reason.pivot));
  const rows = facts.pivots.items.map((pivot, i) =>
    rowModel(pivot, i, sent, top.mayMove.verdict === 'leave' && bad.has(pivot.code), voice),
  );
  const codes = facts.pivots.items.map(({ code }) => code);
  const findings = findingModels(codes, sent, voice);
  const measures = measureFields(sent, voice);
  const notes = field(sent, 'notes', say('visit-form.notes'), { area: true, value: visit?.notes });
  const fields = [
    ...(kinds === null ? [] : [kinds]),
    doneOn,
    minutes,
    others,
    lubricant,
    ...[...rows, ...findings].flatMap((one) => one.fields),
    ...measures,
    notes,
  ];
  const action =
    bench?.action ??
    (corrected !== undefined
      ? `/visits/${corrected.id}/correct`
      : visit === null
        ? `/tops/${top.id}/visit`
        : `/visits/${visit.id}/done`);
  const model: VisitFormModel = {
    ...shopStay(car.registration, top.mayMove, voice),
    heading:
      corrected === undefined ? headingOf(visit, oils, voice) : say('visit-form.heading.correct'),
    button: say(corrected === undefined ? 'visit-form.button' : 'visit-form.button.correct'),
    standing: corrected?.standing ?? [],
    registration: car.registration,
    topHref: bench?.back ?? `/tops/${top.id}`,
    workHref: bench === undefined ? `/cars/${car.id}/work` : '',
    form: formOf(action, once, sent, fields),
    version: String((corrected ?? visit)?.version ?? ''),
    corrects: corrected !== undefined,
    kind: kinds,
    doneOn,
    minutes,
    others,
    preset: visit === null && corrected === undefined ? presetIn(sent, kind) : '',
    lubricant,
    lubricants: NAMES.map(voice.tell),
    hydraulics: top.powered ? HYDRAULICS.map((one) => say(`visit-form.powered.${one}`)) : [],
    sides: SIDES.flatMap((side) => {
      const own = rows.filter((row) => row.side === side);
      return own.length === 0 ? [] : [{ name: say(`visit-form.side.${side}`), rows: own }];
    }),
    findings,
    measures,
    surely: surelyTick(
      sent,
      rows.flatMap((row) => row.fields),
      voice,
    ),
    measuresOpen: measures.some((one) => isUsed(one)),
    notes,
    cautions: cautionWords(voice, facts.top.powered, 'frame', 'springs'),
    declined: declinedInWords(facts.declined, voice),
  };
  const script = KEEP_SCRIPT.address;
  const title = say('visit-form.title');
  const nav = bench === undefined ? { here: 'tops' } : null;
  return [{ lang: voice.language, title, script, nav }, model];
}

function headingOf(visit: VisitFormFacts['visit'], oils: boolean, { say }: Voice): string {
  return visit !== null
    ? say('visit-form.heading.booked', { kind: say(`visit-kind.${visit.kind}`) })
    : say(oils ? 'visit-form.heading.oiling' : 'visit-form.heading.visit');
}

/** A day on which the visit can have been: not to come, not after the top was retired. */
function firstDay(asked: Day, { top, today }: VisitFormFacts): Day {
  const latest = top.retiredOn !== null && top.retiredOn < today ? top.retiredOn : today;
  return asked > latest ? latest : asked;
}

/** Asked for only once a play was typed that is likelier a slip. */
function surelyTick(
  sent: Sent | null,
  fields: readonly FieldModel[],
  { say }: Voice,
): TickModel | null {
  const ticked = sent?.typed[SURELY] === 'yes';
  const asked = fields.some(({ name, fault }) => fault !== '' && name.endsWith('PlayMm'));
  if (!ticked && !asked) return null;
  return { name: SURELY, id: SURELY, ticked, label: say('visit-form.surely') };
}

function measureFields(sent: Sent | null, { say }: Voice): FieldModel[] {
  const mode = { mode: 'decimal' };
  return [
    field(sent, 'swayMm', say('visit-form.sway'), mode),
    field(sent, 'diagonalsMm/left', say('visit-form.left'), mode),
    field(sent, 'diagonalsMm/right', say('visit-form.right'), mode),
    field(sent, 'breakawayN', say('visit-form.force'), mode),
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'visit-form': VisitFormModel;
  }
}
