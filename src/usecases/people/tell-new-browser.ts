import { v7 as newMessageId } from 'uuid';
import type { Instant } from '../../domain/calendar/instant.ts';
import { letterheadOf } from '../../store/organisations/organisation-rows.ts';
import type { PersonRow } from '../../store/people/person-rows.ts';
import { newBrowserMail } from '../../views/mails/staff-mail.ts';
import type { Context } from '../context/context.ts';
import type { Post } from './invite.ts';
import type { Arrival } from './sign-in-log.ts';

/**
 * Writes to somebody that they, or another under their name, came in by a browser that was new. Where
 * no mail server takes it, their next sign-in by a browser of theirs says it on the page.
 */
export async function tellOfNewBrowser(
  context: Context,
  person: Pick<PersonRow, 'name' | 'email' | 'organisationId' | 'language'>,
  { network }: Pick<Arrival, 'network'>,
  {
    at,
    deviceIn,
    post,
  }: {
    readonly at: Instant;
    /** The browser in words of a language. */
    readonly deviceIn: (language: string) => string;
    readonly post: Post;
  },
): Promise<boolean> {
  const organisation = await letterheadOf(context.store.sql, person.organisationId);
  if (organisation === null) return false;
  const { name, email } = person;
  const language = person.language ?? organisation.language;
  const page = `${context.publicUrl}/me`;
  const words = newBrowserMail(
    { name, language },
    {
      organisation: organisation.name,
      at,
      timeZone: organisation.timeZone,
      device: deviceIn(language),
      network,
      page,
    },
  );
  const message = {
    ...words,
    messageId: `<s-${newMessageId()}@${context.mailDomain}>`,
    date: at,
    to: { name, address: email },
    headers: {},
  };
  return post(message, organisation.name);
}
