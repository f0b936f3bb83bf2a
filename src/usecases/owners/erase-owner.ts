import { changeOwnerRow } from '../../store/owners/owner-rows.ts';
import type { Person } from '../../domain/erasure/without-person.ts';
import { withoutPerson } from '../../domain/erasure/without-person.ts';
import {
  endLinks,
  ERASED,
  ERASED_ADDRESS,
  eraseCallNotes,
  eraseLetters,
  eraseStandingWords,
  storeText,
  textsAbout,
  writtenTo,
} from '../../store/owners/erasure-rows.ts';
import { erasePhotos } from '../../store/photos/photo-rows.ts';
import { lockCarsOfOwner } from '../../store/cars/owner-page-rows.ts';
import { endSharingOf } from '../../store/sharing/share-rows.ts';
import type { Sql } from '../../store/database/sql.ts';
import { cancelAllTo } from '../round/cancel-untrue.ts';
import type { Caller, Context } from '../context/context.ts';
import { forgetRuns } from '../../store/records/import-run-rows.ts';
import { forgetAnswers } from '../../store/once/answer-rows.ts';
import type { OwnerRow } from '../../store/owners/owner-rows.ts';
import { ownOwner } from '../own/owner-records.ts';
import { eraseFromTrail } from '../trail/erase-from-trail.ts';
import { requireHeld, requireVersion } from '../context/version.ts';

/**
 * Erases who an owner is: name, address and telephone go, from letters, calls, answers kept for
 * repetition, and out of what was written freely about the car; unsent letters are cancelled, links
 * die. The car's technical history stays; so do a refusal and the record of consent, which are kept
 * under a hash of the address and hold again for whoever is added with it.
 */
export async function eraseOwner(
  context: Context,
  caller: Caller,
  id: string,
  version: number | '*' | null,
): Promise<void> {
  const { organisationId } = caller;
  await context.store.write(async ({ records, sql }) => {
    const before = await ownOwner(records, caller, id);
    requireVersion(version, before.version);
    // Whoever writes a letter holds its cars: it is either there by now or finds the owner erased.
    await lockCarsOfOwner(sql, id);
    const at = context.now();
    requireHeld(
      await changeOwnerRow(records, before, {
        name: ERASED,
        email: ERASED_ADDRESS,
        addressHash: `erased:${id}`,
        phone: null,
        postalAddress: null,
        postcode: null,
        refusesCalls: true,
        erasedAt: at,
      }),
    );
    await cancelAllTo(sql, id, at, 'the owner was erased');
    const person = await eraseTexts(sql, before);
    await eraseLetters(sql, id);
    await eraseCallNotes(sql, id);
    await erasePhotos(sql, id, at);
    await endLinks(sql, id, at);
    await endSharingOf(sql, id, at);
    await forgetAnswers(sql, organisationId);
    await forgetRuns(sql, organisationId);
    await eraseFromTrail(sql, before, person);
  });
}

/** Takes the owner out of free texts, under every name and address that letters were written to. */
async function eraseTexts(sql: Sql, owner: OwnerRow): Promise<Person> {
  const written = await writtenTo(sql, owner.id);
  const hashes = [owner.addressHash, ...written.map(({ addressHash }) => addressHash)];
  await eraseStandingWords(sql, owner.organisationId, hashes);
  const person = {
    names: [owner.name, ...written.map(({ toName }) => toName)],
    addresses: [owner.email, ...written.map(({ toAddress }) => toAddress)],
    phones: owner.phone === null ? [] : [owner.phone],
  };
  for (const found of await textsAbout(sql, owner, hashes)) {
    const text = withoutPerson(found.text, person);
    if (text !== found.text) await storeText(sql, { ...found, text });
  }
  return person;
}
