import { addMinutes } from '../../domain/calendar/instant.ts';
import { TRIES, TRIES_MINUTES } from '../../domain/people/patience.ts';
import { notePasskeyUse, passkeyNamed, useRecoveryCode } from '../../store/people/means-rows.ts';
import type { Instant } from '../../domain/calendar/instant.ts';
import type { Sql } from '../../store/database/sql.ts';
import type { PersonRow } from '../../store/people/person-rows.ts';
import { findPerson, personAt, takeTotpStep } from '../../store/people/person-rows.ts';
import { countTry, forgetTries } from '../../store/people/sign-in-rows.ts';
import type { Context } from '../context/context.ts';
import { addressHashOf } from '../context/secret.ts';
import { stepOfCode } from './authenticator.ts';
import { passkeyAnswered } from './passkeys.ts';
import { isPassword } from './password.ts';
import { hashOfCode, looksLikeRecoveryCode } from './recovery-codes.ts';
import type { Means } from './sessions.ts';
import { beginSession } from './sessions.ts';
import type { Arrival, CameIn } from './sign-in-log.ts';
import { noteCameIn, noteFailed } from './sign-in-log.ts';

export type PersonSignIn =
  /** Unknown address, wrong password or wrong code: nobody is told which. */
  | { readonly kind: 'wrong' }
  /** Too many tries for this address, whether anybody has it or not. */
  | { readonly kind: 'wait'; readonly minutes: number }
  | (CameIn & {
      readonly kind: 'signed-in';
      readonly token: string;
      readonly means: Means;
      readonly person: Pick<PersonRow, 'name' | 'email' | 'organisationId' | 'language'>;
      readonly at: Instant;
    });

const WRONG = { kind: 'wrong' } as const;

/** Signs somebody in by a passkey of theirs. */
export async function signInByPasskey(
  context: Context,
  answered: { readonly step: string; readonly answer: string },
  arrival: Arrival,
): Promise<PersonSignIn> {
  const { sql } = context.store;
  const found = await passkeyAnswered(context, answered, (id) => passkeyNamed(sql, id));
  const { passkey } = found;
  // One that nobody here has is nobody's try: there is nobody to tell of it.
  if (passkey === null) return WRONG;
  const at = context.now();
  return context.store.writeSql(async (inside) => {
    const person = await findPerson(inside, passkey.personId);
    if (person === null) return WRONG;
    if (!found.holds) {
      await noteFailed(inside, person, arrival, { means: 'passkey', outcome: 'wrong', at });
      return WRONG;
    }
    await notePasskeyUse(inside, passkey.id, found.counter, at);
    return comeIn(inside, person, arrival, { means: 'passkey', at });
  });
}

/**
 * Signs somebody in by address, password and a code of their authenticator, or a recovery code in
 * its place. All three are compared before anything is said, and an address that nobody has takes the
 * same way with the same work, so that neither answer nor time tells whether it is known.
 */
export async function signInByPassword(
  context: Context,
  input: { readonly email: string; readonly password: string; readonly code: string },
  arrival: Arrival,
): Promise<PersonSignIn> {
  const at = context.now();
  const addressHash = addressHashOf(input.email);
  const since = addMinutes(at, -TRIES_MINUTES);
  const tries = await context.store.writeSql((sql) => countTry(sql, addressHash, at, since));
  const code = input.code.replaceAll(/\s/g, '');
  const person = await personAt(context.store.sql, input.email.trim().toLowerCase());
  const failed = (outcome: 'wrong' | 'held-off') =>
    context.store.writeSql((sql) =>
      noteFailed(sql, person, arrival, { means: 'password', outcome, at }),
    );
  if (tries > TRIES) {
    // Once: whoever goes on trying must not fill the log.
    if (tries === TRIES + 1) await failed('held-off');
    return { kind: 'wait', minutes: TRIES_MINUTES };
  }
  const right = await isPassword(person?.passwordHash ?? null, input.password);
  const step = await stepOfCode(person?.totpSecret ?? null, code, at);
  if (person === null || !right || (step === null && !looksLikeRecoveryCode(code))) {
    await failed('wrong');
    return WRONG;
  }
  return context.store.writeSql(async (sql) => {
    const means = step === null ? 'recovery-code' : 'password';
    const taken =
      step === null
        ? await useRecoveryCode(sql, person.id, hashOfCode(code), at)
        : await takeTotpStep(sql, person.id, step);
    if (!taken) {
      await noteFailed(sql, person, arrival, { means: 'password', outcome: 'wrong', at });
      return WRONG;
    }
    await forgetTries(sql, addressHash);
    return comeIn(sql, person, arrival, { means, at });
  });
}

async function comeIn(
  sql: Sql,
  person: PersonRow,
  arrival: Arrival,
  { means, at }: { readonly means: Means; readonly at: Instant },
): Promise<PersonSignIn> {
  const came = await noteCameIn(sql, person, arrival, { means, at });
  const { device } = arrival;
  const token = await beginSession(sql, person.id, { device, means, at });
  return { kind: 'signed-in', token, means, person, at, ...came };
}
