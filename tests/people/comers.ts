import { generate } from 'otplib';
import { msOf } from '../../src/domain/calendar/instant.ts';
import type { Role } from '../../src/domain/people/rights.ts';
import { programCaller } from '../../src/usecases/context/context.ts';
import { invite } from '../../src/usecases/people/invite.ts';
import { join } from '../../src/usecases/people/join.ts';
import { browse } from '../pages/link-for.ts';
import type { Workshop } from '../setup/workshop.ts';

export const ARRIVAL = { device: 'test', network: '192.0.2.0/24', browser: null };
export const PASSWORD = 'plum gate xk8 42 lantern';

/** Somebody who came in by an invitation and signs in with a password and an authenticator. */
export interface Comer {
  readonly email: string;
  readonly secret: string;
  readonly cookie: string;
}

/** The code that an authenticator shows at the workshop's time. */
export function codeAt(shop: Workshop, secret: string): Promise<string> {
  return generate({ secret, epoch: Math.floor(msOf(shop.context.now()) / 1000) });
}

export const cookieOf = (answer: { headers: Record<string, unknown> }): string =>
  String(answer.headers['set-cookie']).split(';')[0] ?? '';

/** Invites somebody to the organisation of the workshop's key, and lets them come in. */
export async function comer(
  shop: Workshop,
  role: Role,
  email = `${role}@example.org`,
  house?: string,
): Promise<Comer> {
  const { context } = shop;
  const { organisationId: first } = await context.store.records.accessKey.findFirstOrThrow();
  const organisationId = house ?? first;
  const caller = programCaller(organisationId, 'test');
  const { url } = await invite(context, caller, { name: `The ${role}`, email, role }, null);
  const secret = 'KJ62V65NX6KW3XPP5CT4YFMVSTZHS2GZ';
  const means = {
    kind: 'password',
    password: PASSWORD,
    secret,
    code: await codeAt(shop, secret),
  } as const;
  const token = (url ?? '').split('/join/')[1] ?? '';
  const came = await join(context, token, { name: `The ${role}`, email }, means, ARRIVAL);
  return { email, secret, cookie: `__Host-foldkeep=${came.token}` };
}

/** Sends the sign-in form as a browser does. */
export function signInWith(shop: Workshop, form: Record<string, string>) {
  return browse(shop, 'POST', '/sign-in', form, { 'sec-fetch-site': 'same-origin' });
}
