import type { Day } from '../../domain/calendar/day.ts';
import { dayIn } from '../../domain/calendar/zone.ts';
import { invalid, notFound, Refused } from '../../domain/refusal.ts';
import type { PhotoRow } from '../../store/photos/photo-rows.ts';
import {
  changePhotoRow,
  countOn,
  dropPhoto,
  findPhoto,
  insertPhoto,
  photosOfCar,
  photosOfVisit,
  pixelsOf,
} from '../../store/photos/photo-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { pivotsOf } from '../../store/tops/pivot-rows.ts';
import type { TopRow } from '../../store/tops/top-rows.ts';
import { topsOnCars } from '../../store/tops/top-rows.ts';
import { findVisit, lastDoneVisit } from '../../store/visits/visit-rows.ts';
import type { Caller, Context } from '../context/context.ts';
import { requireHeld } from '../context/version.ts';
import { ownCar } from '../own/car-records.ts';
import { dropVisitLetters, tellOfVisit } from '../visits/visit-letters.ts';
import { shrinkPhoto } from './shrink-photo.ts';

export interface PhotoRecord {
  readonly id: string;
  readonly carId: string;
  readonly visitId: string | null;
  readonly pivot: string | null;
  readonly words: string | null;
  readonly takenOn: Day;
  readonly inLetter: boolean;
  readonly width: number;
  readonly height: number;
}

export interface NewPhoto {
  /** Under which it is kept once, however often it is sent. */
  readonly id: string;
  readonly bytes: Uint8Array;
  readonly visitId?: string | undefined;
  readonly pivot?: string | undefined;
  readonly words?: string | undefined;
  /** Whether the report of the visit shows it. */
  readonly inLetter: boolean;
}

// Shop rule: what one car needs on one day, and no more, since a database carries them all.
export const MOST_A_DAY = 24;
const MOST_SHOWN = 200;

/**
 * Keeps a photo of a car, scaled down and without what the camera wrote beside it; of a visit or of a
 * joint where one is named, else of the day. A report that waits and shows it is written anew; one that
 * has left is not sent twice. Sent again under the same id it is kept once.
 */
export async function addPhoto(
  context: Context,
  caller: Caller,
  carId: string,
  { id, bytes, visitId, pivot, words, inLetter }: NewPhoto,
): Promise<void> {
  const { organisationId } = caller;
  const car = await ownCar(context.store.records, caller, carId);
  const photo = await shrinkPhoto(bytes);
  if (photo === null) {
    throw invalid(
      '#/photo',
      'This is no photo that can be kept. Send a JPEG, PNG or WebP picture.',
    );
  }
  const now = context.now();
  await context.store.write(async ({ records, sql }) => {
    const visit = visitId === undefined ? null : await findVisit(records, organisationId, visitId);
    if (visitId !== undefined && visit?.carId !== carId) throw notFound('visit');
    const [top] = await topsOnCars(sql, [carId]);
    if (pivot !== undefined) await refuseNoJoint(sql, top, pivot);
    const takenOn = visit?.doneOn ?? dayIn(car.timeZone, now);
    if ((await countOn(sql, carId, takenOn)) >= MOST_A_DAY) {
      const detail = `${MOST_A_DAY} photos of one day are kept at the most. Remove one first.`;
      throw new Refused({ kind: 'conflict', detail });
    }
    const row: PhotoRow = {
      id,
      organisationId,
      carId,
      visitId: visitId ?? null,
      pivotCode: pivot ?? null,
      words: words ?? null,
      takenOn,
      inLetter,
      width: photo.width,
      height: photo.height,
      recordedAt: now,
      removedAt: null,
      version: 1,
    };
    if (!(await insertPhoto(sql, row, { large: photo.large, small: photo.small }))) return;
    const told = visit ?? (top === undefined ? null : await lastDoneVisit(records, top.id));
    if (inLetter && told?.doneOn === takenOn) await retellReport(context, sql, told);
  });
}

/**
 * Puts right what a photo shows: its joint, its words, and whether the report shows it. A report that
 * waits is written anew. What stood before is in the trail.
 */
export async function changePhoto(
  context: Context,
  caller: Caller,
  id: string,
  { pivot, words, inLetter }: Pick<NewPhoto, 'pivot' | 'words' | 'inLetter'>,
): Promise<{ readonly carId: string }> {
  const { organisationId } = caller;
  return context.store.write(async ({ records, sql }) => {
    const photo = await findPhoto(sql, organisationId, id, true);
    if (photo === null) throw notFound('photo');
    const { carId, takenOn } = photo;
    const [top] = await topsOnCars(sql, [carId]);
    if (pivot !== undefined && pivot !== photo.pivotCode) await refuseNoJoint(sql, top, pivot);
    const columns = { pivotCode: pivot ?? null, words: words ?? null, inLetter };
    requireHeld({ count: Number(await changePhotoRow(sql, photo, columns)) });
    const visit =
      photo.visitId === null
        ? top === undefined
          ? null
          : await lastDoneVisit(records, top.id)
        : await findVisit(records, organisationId, photo.visitId);
    const told = photo.inLetter || inLetter;
    if (told && visit?.state === 'done' && visit.doneOn === takenOn) {
      await retellReport(context, sql, visit);
    }
    return { carId };
  });
}

async function refuseNoJoint(sql: Sql, top: TopRow | undefined, pivot: string): Promise<void> {
  const codes = top === undefined ? [] : (await pivotsOf(sql, top)).map(({ code }) => code);
  if (!codes.includes(pivot)) throw invalid('#/pivot', 'This top has no such joint.');
}

/** Takes a photo away. That it was there, and who took it away, stays in the trail; its pixels do not. */
export async function removePhoto(
  context: Context,
  caller: Caller,
  id: string,
): Promise<{ readonly carId: string }> {
  const now = context.now();
  return context.store.write(async ({ records, sql }) => {
    const photo = await findPhoto(sql, caller.organisationId, id, true);
    if (photo === null) throw notFound('photo');
    await dropPhoto(sql, id, now);
    const visit =
      photo.visitId === null
        ? null
        : await findVisit(records, caller.organisationId, photo.visitId);
    if (visit !== null && visit.state === 'done') await retellReport(context, sql, visit);
    return { carId: photo.carId };
  });
}

async function retellReport(
  context: Context,
  sql: Sql,
  visit: { readonly id: string; readonly carId: string },
): Promise<void> {
  const now = context.now();
  const dropped = await dropVisitLetters(sql, visit, now, 'the photos of the visit have changed');
  if (dropped.length > 0) await tellOfVisit(context, sql, visit.id, now);
}

/** A photo of the caller's organisation as bytes of a JPEG; nobody else's is found. */
export async function readPhoto(
  context: Context,
  { organisationId }: Caller,
  id: string,
  size: 'large' | 'small',
): Promise<Buffer> {
  const { sql } = context.store;
  const found = await findPhoto(sql, organisationId, id);
  const pixels = found === null ? null : await pixelsOf(sql, organisationId, id, size);
  if (pixels === null) throw notFound('photo');
  return Buffer.from(pixels, 'base64url');
}

/** The photos of a car, the newest first, with the joints that its frame has. */
export async function listPhotos(
  context: Context,
  caller: Caller,
  carId: string,
): Promise<{
  readonly registration: string;
  readonly joints: readonly string[];
  readonly items: PhotoRecord[];
}> {
  const { sql, records } = context.store;
  const { registration } = await ownCar(records, caller, carId);
  const [top] = await topsOnCars(sql, [carId]);
  return {
    registration,
    joints: top === undefined ? [] : (await pivotsOf(sql, top)).map(({ code }) => code),
    items: (await photosOfCar(sql, caller.organisationId, carId, MOST_SHOWN)).map(photoRecord),
  };
}

export async function listVisitPhotos(
  context: Context,
  { organisationId }: Caller,
  visitId: string,
): Promise<PhotoRecord[]> {
  return (await photosOfVisit(context.store.sql, organisationId, visitId)).map(photoRecord);
}

function photoRecord({
  id,
  carId,
  visitId,
  pivotCode,
  words,
  takenOn,
  inLetter,
  width,
  height,
}: PhotoRow): PhotoRecord {
  return { id, carId, visitId, pivot: pivotCode, words, takenOn, inLetter, width, height };
}
