import { v7 as newId } from 'uuid';
import type { Keeping } from '../domain/lubrication/interval.ts';
import { Refused } from '../domain/refusal.ts';
import { LOOK_NOW } from '../domain/round/next-look.ts';
import type { CarRecord } from './car-records.ts';
import { carRecordOf } from './car-records.ts';
import type { Caller, Deed } from './deed.ts';
import { ownOwner } from './owner-records.ts';

export interface NewCar {
  readonly ownerId: string;
  readonly registration: string;
  readonly timeZone?: string | undefined;
  readonly handbook?: {
    readonly foldedLimitDays?: number | undefined;
    readonly foldFloorCelsius?: number | null | undefined;
  };
  readonly keeping: Keeping & { readonly unmovedDays?: number | undefined };
}

/** Days that a top may stay folded where no handbook says otherwise: common practice, no source. */
export const USUAL_FOLDED_LIMIT_DAYS = 3;

/** Adds a car to an owner; its zone is the owner's where none is given. */
export async function addCar(deed: Deed, caller: Caller, car: NewCar): Promise<CarRecord> {
  return deed.store.write(async ({ records }) => {
    const owner = await ownOwner(records, caller, car.ownerId).catch((fault: unknown) => {
      if (!(fault instanceof Refused)) throw fault;
      throw new Refused({
        kind: 'invalid',
        faults: [
          { pointer: '#/ownerId', detail: 'There is no such owner here. Add the owner first.' },
        ],
      });
    });
    const row = await records.car.create({
      data: {
        id: newId(),
        organisationId: caller.organisationId,
        ownerId: owner.id,
        registration: car.registration,
        timeZone: car.timeZone ?? owner.timeZone,
        foldedLimitDays: car.handbook?.foldedLimitDays ?? USUAL_FOLDED_LIMIT_DAYS,
        foldFloorCelsius: car.handbook?.foldFloorCelsius ?? null,
        place: car.keeping.place,
        salt: car.keeping.salt,
        use: car.keeping.use,
        foldsPerYear: car.keeping.foldsPerYear ?? null,
        unmovedDays: car.keeping.unmovedDays ?? null,
        lookAt: LOOK_NOW,
        createdAt: deed.now(),
      },
    });
    return carRecordOf(row);
  });
}
