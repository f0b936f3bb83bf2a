import type { FastifyReply, FastifyRequest } from 'fastify';
import { networkOf } from '../../../domain/people/network.ts';
import type { Context, Visitor } from '../../../usecases/context/context.ts';
import type { Arrival } from '../../../usecases/people/sign-in-log.ts';
import { speakTo } from '../frame/spoken-to.ts';
import { callerOfSession, SESSION_HOURS } from '../../../usecases/organisations/sign-in.ts';

/** The cookie's name; with its prefix a browser takes it from this very host over TLS alone. */
function cookieName(context: Context): string {
  return overTls(context) ? '__Host-foldkeep' : 'foldkeep';
}

function overTls(context: Context): boolean {
  return context.publicUrl.startsWith('https://');
}

function cookieOptions(context: Context) {
  return { path: '/', httpOnly: true, sameSite: 'strict', secure: overTls(context) } as const;
}

/** Keeps a session in the browser, for as long as it may last at the most. */
export function giveSession(
  reply: FastifyReply,
  context: Context,
  token: string,
  hours = SESSION_HOURS,
): void {
  const maxAge = hours * 3600;
  reply.setCookie(cookieName(context), token, { ...cookieOptions(context), maxAge });
}

export function takeSession(reply: FastifyReply, context: Context): void {
  reply.clearCookie(cookieName(context), cookieOptions(context));
}

export function sessionToken(request: FastifyRequest, context: Context): string | null {
  const token = request.cookies[cookieName(context)];
  return token === undefined || token === '' || token.length > 200 ? null : token;
}

/** Who is signed in at this browser, or null. */
export async function signedIn(request: FastifyRequest, context: Context): Promise<Visitor | null> {
  const token = sessionToken(request, context);
  const visitor = token === null ? null : await callerOfSession(context, token);
  if (visitor !== null) speakTo(request, visitor.language);
  return visitor;
}

/** Where somebody comes from who signs in. */
export function arrivalOf(request: FastifyRequest, context: Context): Arrival {
  const browser = request.cookies[browserCookie(context)];
  return {
    device: request.headers['user-agent'] ?? '',
    network: networkOf(request.ip),
    browser: browser !== undefined && /^[\w-]{43}$/.test(browser) ? browser : null,
  };
}

/** Browsers keep no cookie longer (RFC 6265bis, 5.5). */
const BROWSER_DAYS = 400;

/** By this a browser is known again at the next sign-in; it opens nothing. */
export function giveBrowser(reply: FastifyReply, context: Context, browser: string): void {
  const maxAge = BROWSER_DAYS * 86_400;
  reply.setCookie(browserCookie(context), browser, { ...cookieOptions(context), maxAge });
}

function browserCookie(context: Context): string {
  return `${cookieName(context)}-browser`;
}

const WANTED_MINUTES = 15;

/** Leads to the sign-in, which goes on to the page that was asked for. */
export function leadToSignIn(
  request: FastifyRequest,
  reply: FastifyReply,
  context: Context,
): FastifyReply {
  reply.setCookie(wantedCookie(context), request.url.slice(0, LONGEST_WANTED), {
    ...cookieOptions(context),
    maxAge: WANTED_MINUTES * 60,
  });
  return reply.header('cache-control', 'no-store').redirect('/sign-in', 303);
}

/** The page of this server that somebody asked for before they signed in; asked once. */
export function takeWanted(
  request: FastifyRequest,
  reply: FastifyReply,
  context: Context,
): string | null {
  const wanted = request.cookies[wantedCookie(context)];
  if (wanted === undefined) return null;
  reply.clearCookie(wantedCookie(context), cookieOptions(context));
  // Another site would begin with two slashes, or with what a browser takes for them.
  return /^\/(?![/\\])[\w/?=&%.:+~-]*$/.test(wanted) ? wanted : null;
}

const LONGEST_WANTED = 500;

function wantedCookie(context: Context): string {
  return `${cookieName(context)}-wanted`;
}

/**
 * Whether a form was sent from a page of this server. Browsers say so themselves; where one says
 * neither Sec-Fetch-Site nor Origin it is no browser, and has no session that could be abused.
 */
export function isOwnForm({ headers }: FastifyRequest, context: Context): boolean {
  const site = headers['sec-fetch-site'];
  if (site !== undefined) return site === 'same-origin';
  const { origin, host } = headers;
  if (origin === undefined) return true;
  if (!URL.canParse(origin)) return false;
  return origin === new URL(context.publicUrl).origin || new URL(origin).host === host;
}
