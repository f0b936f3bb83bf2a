import { dayIn } from '../../domain/calendar/zone.ts';
import { figuresOf } from '../../domain/figure-tables/letter-figures.ts';
import { lubricationDue } from '../../domain/lubrication/due.ts';
import type { CarFacts } from '../../domain/round/car-facts.ts';
import type { LetterKind } from '../../domain/round/letter-kind.ts';
import { loadCarFacts } from '../../store/cars/car-facts-rows.ts';
import { namedCars } from '../../store/cars/car-rows.ts';
import type { LetterModel } from '../../views/letters/models.ts';
import { renderLetter } from '../../views/letters/render.ts';
import { sampleModel } from '../../views/letters/sample.ts';
import type { Overrides } from '../../views/letters/slots.ts';
import type { Caller, Context } from '../context/context.ts';
import { showOrganisation } from './organisations.ts';
import { loadOwnStyle } from './own-style.ts';
import type { LetterPreview } from './preview-letters.ts';
import { requireLanguage } from './preview-letters.ts';

/** A letter as the organisation would send it, about a car in its care where it has one. */
export interface RecordsPreview extends LetterPreview {
  /** The car whose record it shows; null where there is none yet and all is invented. */
  readonly car: {
    readonly id: string;
    readonly registration: string;
    readonly owner: string;
  } | null;
  /** Cars to choose from, a few of them. */
  readonly cars: readonly { readonly id: string; readonly registration: string }[];
}

const CARS_OFFERED = 50;

/**
 * A kind of letter with the name, wording and picture of the organisation and the record of one of its
 * cars: its owner, its due day and what must not be moved. What such a letter tells of besides, a visit or
 * a warranty, is invented. Nothing is sent and nothing is kept; its links lead nowhere. `own` stands in
 * the place of the wording that is kept.
 */
export async function previewFromRecords(
  context: Context,
  caller: Caller,
  asked: {
    readonly kind: LetterKind;
    readonly language: string;
    readonly carId?: string | undefined;
  },
  own?: Overrides,
): Promise<RecordsPreview> {
  const { kind, language, carId } = asked;
  requireLanguage(language);
  const { sql } = context.store;
  const organisation = await showOrganisation(context, caller);
  const style = await loadOwnStyle(sql, organisation.id);
  const cars = await namedCars(sql, caller.organisationId);
  const chosen = cars.find(({ id }) => id === carId) ?? cars[0];
  const facts =
    chosen === undefined
      ? undefined
      : (await loadCarFacts(sql, [chosen.id], context.now(), false)).cars[0];
  const { name, kind: of, postalAddress, phone, logo } = organisation;
  const sample = {
    ...sampleModel(kind, language),
    organisation: { name, kind: of, postalAddress, phone, logo },
  };
  const model = facts === undefined ? sample : withRecord(sample, facts, context.now());
  const words = own ?? style.words(organisation.id, language, kind);
  return {
    kind,
    language,
    ...renderLetter(kind, model, words),
    car:
      chosen === undefined
        ? null
        : { id: chosen.id, registration: chosen.registration, owner: chosen.ownerName },
    cars: cars.slice(0, CARS_OFFERED).map(({ id, registration }) => ({ id, registration })),
  };
}

function withRecord<K extends LetterKind>(sample: LetterModel<K>, facts: CarFacts, at: string) {
  const { registration, owner, top, timeZone } = facts;
  const [first] = sample.cars;
  // Nobody chooses a day with himself.
  const days = sample.organisation.kind === 'private' ? [] : undefined;
  const offers =
    'offers' in sample
      ? { offers: days ?? sample.offers.map((one) => ({ ...one, registration })) }
      : {};
  const due =
    top === null || first === undefined || !('dueOn' in first)
      ? {}
      : {
          ...lubricationPart(top, dayIn(timeZone, at), facts),
          ...(first.lateDays === null ? {} : { lateDays: first.lateDays }),
        };
  const folded = first !== undefined && 'overAt' in first ? { powered: top?.powered ?? false } : {};
  return {
    ...sample,
    ...offers,
    owner: { name: owner.name },
    cars: [{ ...first, registration, ...due, ...folded }],
    moves: movesOf(sample, facts),
  } as LetterModel<K>;
}

/** How its top may be moved; in the letter that it must stay, what is invented where it may be moved. */
function movesOf(sample: LetterModel, { registration, mayMove }: CarFacts): LetterModel['moves'] {
  const { verdict, reasons, how, repairOn, powered } = mayMove;
  if ('oilWaits' in sample && verdict !== 'leave') {
    return sample.moves?.map((move) => ({ ...move, registration, powered }));
  }
  if (verdict === 'free') return [];
  const said = reasons.map(({ sign, pivot, fault }) => ({ sign, pivot, fault }));
  return [{ registration, verdict, reasons: said, how: [...how], repairOn, powered }];
}

function lubricationPart(
  top: NonNullable<CarFacts['top']>,
  today: string,
  { organisation }: CarFacts,
) {
  const { dueOn, windowFrom, windowTo } = lubricationDue(
    { ...top, today },
    figuresOf(organisation).due,
  );
  const { lastOn, fittedOn, intervalMonths, because, powered } = top;
  return {
    lastOn,
    fittedOn,
    dueOn,
    windowFrom,
    windowTo,
    intervalMonths,
    because: [...because],
    powered,
  };
}
