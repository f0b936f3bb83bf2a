import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Caller, Deed } from '../../usecases/deed.ts';
import { callerOfSession, SESSION_HOURS } from '../../usecases/sign-in.ts';

/** The cookie's name; with its prefix a browser takes it from this very host over TLS alone. */
function cookieName(deed: Deed): string {
  return overTls(deed) ? '__Host-foldkeep' : 'foldkeep';
}

function overTls(deed: Deed): boolean {
  return deed.publicUrl.startsWith('https://');
}

function cookieOptions(deed: Deed) {
  return { path: '/', httpOnly: true, sameSite: 'strict', secure: overTls(deed) } as const;
}

export function giveSession(reply: FastifyReply, deed: Deed, token: string): void {
  const maxAge = SESSION_HOURS * 3600;
  reply.setCookie(cookieName(deed), token, { ...cookieOptions(deed), maxAge });
}

export function takeSession(reply: FastifyReply, deed: Deed): void {
  reply.clearCookie(cookieName(deed), cookieOptions(deed));
}

export function sessionToken(request: FastifyRequest, deed: Deed): string | null {
  const token = request.cookies[cookieName(deed)];
  return token === undefined || token === '' || token.length > 200 ? null : token;
}

/** Who is signed in at this browser, or null. */
export async function signedIn(request: FastifyRequest, deed: Deed): Promise<Caller | null> {
  const token = sessionToken(request, deed);
  return token === null ? null : callerOfSession(deed, token);
}

/**
 * Whether a form was sent from a page of this server. Browsers say so themselves; where one says
 * neither Sec-Fetch-Site nor Origin it is no browser, and has no session that could be abused.
 */
export function isOwnForm({ headers }: FastifyRequest, deed: Deed): boolean {
  const site = headers['sec-fetch-site'];
  if (site !== undefined) return site === 'same-origin';
  const { origin, host } = headers;
  if (origin === undefined) return true;
  if (!URL.canParse(origin)) return false;
  return origin === new URL(deed.publicUrl).origin || new URL(origin).host === host;
}
