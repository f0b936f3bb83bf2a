import { addMinutes } from '../../domain/calendar/instant.ts';
import { TRIES, TRIES_MINUTES } from '../../domain/people/patience.ts';
import { notePasskeyUse, passkeyNamed, useRecoveryCode } from '../../store/people/means-rows.ts';
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

export type PersonSignIn =
  /** Unknown address, wrong password or wrong code: nobody is told which. */
  | { readonly kind: 'wrong' }
  /** Too many tries for this address, whether anybody has it or not. */
  | { readonly kind: 'wait'; readonly minutes: number }
  | { readonly kind: 'signed-in'; readonly token: string; readonly means: Means };

const WRONG = { kind: 'wrong' } as const;

/** Signs somebody in by a passkey of theirs. */
export async function signInByPasskey(
  context: Context,
  answered: { readonly step: string; readonly answer: string },
  device: string,
): Promise<PersonSignIn> {
  const { sql } = context.store;
  const found = await passkeyAnswered(context, answered, (id) => passkeyNamed(sql, id));
  if (found === null) return WRONG;
  const { passkey, counter } = found;
  const at = context.now();
  return context.store.writeSql(async (inside) => {
    const person = await findPerson(inside, passkey.personId);
    if (person === null) return WRONG;
    await notePasskeyUse(inside, passkey.id, counter, at);
    const means = 'passkey';
    const token = await beginSession(inside, person.id, { device, means, at });
    return { kind: 'signed-in', token, means };
  });
}

/**
 * Signs somebody in by address, password and a code of their authenticator, or a recovery code in
 * its place. All three are compared before anything is said, and an address that nobody has takes the
 * same way with the same work, so that neither answer nor time tells whether it is known.
 */
export async function signInByPassword(
  context: Context,
  said: { readonly email: string; readonly password: string; readonly code: string },
  device: string,
): Promise<PersonSignIn> {
  const at = context.now();
  const addressHash = addressHashOf(said.email);
  const since = addMinutes(at, -TRIES_MINUTES);
  const tries = await context.store.writeSql((sql) => countTry(sql, addressHash, at, since));
  if (tries > TRIES) return { kind: 'wait', minutes: TRIES_MINUTES };
  const code = said.code.replaceAll(/\s/g, '');
  const person = await personAt(context.store.sql, said.email.trim().toLowerCase());
  const right = await isPassword(person?.passwordHash ?? null, said.password);
  const step = await stepOfCode(person?.totpSecret ?? null, code, at);
  if (person === null || !right || (step === null && !looksLikeRecoveryCode(code))) return WRONG;
  return context.store.writeSql(async (sql) => {
    const means = step === null ? 'recovery-code' : 'password';
    const taken =
      step === null
        ? await useRecoveryCode(sql, person.id, hashOfCode(code), at)
        : await takeTotpStep(sql, person.id, step);
    if (!taken) return WRONG;
    await forgetTries(sql, addressHash);
    const token = await beginSession(sql, person.id, { device, means, at });
    return { kind: 'signed-in', token, means };
  });
}
