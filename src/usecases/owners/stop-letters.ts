import type { StopPageOwner } from '../../store/owners/owner-rows.ts';
import { stopPageOwner } from '../../store/owners/owner-rows.ts';
import { isByConsent, TOPICS, type Topic } from '../../domain/round/letter-kind.ts';
import { consentEntries, refusedTopics } from '../../store/owners/consent-rows.ts';
import type { LinkRow } from '../../store/letters/link-rows.ts';
import { findLink } from '../../store/letters/link-rows.ts';
import { flag } from '../../store/database/sql.ts';
import { voiceFor } from '../../views/words/voice.ts';
import type { Context } from '../context/context.ts';
import { BY_LINK, hasAgreed } from '../own/agreed.ts';
import { agreeTo, refuseTopics } from './refuse-topic.ts';
import { hashOf } from '../context/secret.ts';

/** What may be asked on a stop page; `one-click` is the mail program's own button (RFC 8058). */
export const STOP_WISHES = ['stop', 'stop-all', 'fewer', 'undo', 'agree', 'one-click'] as const;
export type StopWish = (typeof STOP_WISHES)[number];

export interface StopPageRecord {
  readonly organisation: { readonly name: string; readonly postalAddress: string | null };
  readonly language: string;
  /** The address with its name masked: enough to know it again, too little to write to. */
  readonly address: string;
  /** The topic of the letter that the link came with; null where it names none. */
  readonly topic: Topic | null;
  readonly topics: { topic: Topic; refused: boolean }[];
  /** A topic that goes only to those who agree, and to this reader not yet. */
  readonly toAgree: Topic | null;
  /** Something was stopped on such a page and can be had back there. */
  readonly undoable: boolean;
}

const ONE_CLICK = 'List-Unsubscribe=One-Click';

interface OpenLink {
  readonly link: LinkRow;
  readonly owner: StopPageOwner;
}

/** What a stop link is about, or null for one that is unknown. Reading it changes nothing. */
export async function readStopPage(
  context: Context,
  token: string,
): Promise<StopPageRecord | null> {
  const open = await openLink(context, token);
  return open === null ? null : recordOf(context, open);
}

/** Does what was asked through a stop link, and says how things stand then; null where unknown. */
export async function heedStop(
  context: Context,
  token: string,
  wish: StopWish,
): Promise<StopPageRecord | null> {
  const open = await openLink(context, token);
  if (open === null) return null;
  const { link, owner } = open;
  const { say } = voiceFor(owner.language);
  const said = {
    organisationId: owner.organisationId,
    addressHash: owner.addressHash,
    ownerId: owner.id,
    by: `${BY_LINK}${link.id}`,
    words: wish === 'one-click' ? ONE_CLICK : say(`stop.button.${wish}`),
  };
  if (wish === 'agree') {
    if (owner.organisationKind === 'club') await agreeTo(context, { ...said, topic: 'club-news' });
    return recordOf(context, open);
  }
  const topics = await topicsMeant(context, open, wish);
  await refuseTopics(context, { ...said, topics, given: wish === 'undo' });
  return recordOf(context, open);
}

async function topicsMeant(
  context: Context,
  open: OpenLink,
  wish: StopWish,
): Promise<readonly Topic[]> {
  switch (wish) {
    case 'stop':
    case 'one-click': {
      const topic = topicOfLink(open.link);
      return topic === null ? topicsOf(open.owner) : [topic];
    }
    case 'stop-all':
      return topicsOf(open.owner);
    case 'fewer':
      return ['care-notes'];
    case 'agree':
      return [];
    case 'undo':
      return stoppedHere(context, open);
  }
}

/** Topics refused last through a stop link. What was refused in another way stays refused. */
async function stoppedHere(context: Context, { owner }: OpenLink): Promise<Topic[]> {
  const last = new Map<string, boolean>();
  const entries = await consentEntries(context.store.sql, owner);
  for (const { topic, given, by } of entries) {
    last.set(topic, !flag(given) && by.startsWith(BY_LINK));
  }
  // To have back what goes by consent is to agree anew: it has a button of its own.
  return TOPICS.filter((topic) => last.get(topic) === true && !isByConsent(topic));
}

async function openLink(context: Context, token: string): Promise<OpenLink | null> {
  const { sql } = context.store;
  const link = await findLink(sql, 'stop', hashOf(token), context.now());
  if (link === null || link.ownerId === null) return null;
  const owner = await stopPageOwner(sql, link.organisationId, link.ownerId);
  return owner === null ? null : { link, owner };
}

async function recordOf(context: Context, open: OpenLink): Promise<StopPageRecord> {
  const { owner, link } = open;
  const { sql } = context.store;
  const refused = await refusedTopics(sql, owner);
  const entries = await consentEntries(sql, owner);
  const comes = (topic: Topic) =>
    !refused.includes(topic) && (!isByConsent(topic) || hasAgreed(entries, topic));
  const topics = topicsOf(owner).map((topic) => ({ topic, refused: !comes(topic) }));
  return {
    organisation: { name: owner.organisationName, postalAddress: owner.postalAddress },
    language: owner.language,
    address: masked(owner.email),
    topic: topicOfLink(link),
    topics,
    toAgree: topics.find(({ topic, refused: not }) => not && isByConsent(topic))?.topic ?? null,
    undoable: (await stoppedHere(context, open)).some((topic) => refused.includes(topic)),
  };
}

/** What this organisation writes about; letters to all are a club's. */
function topicsOf({ organisationKind }: Pick<StopPageOwner, 'organisationKind'>): Topic[] {
  return TOPICS.filter((topic) => !isByConsent(topic) || organisationKind === 'club');
}

function topicOfLink({ subject }: LinkRow): Topic | null {
  return TOPICS.find((topic) => topic === subject) ?? null;
}

/** "a•••@example.org" */
function masked(email: string): string {
  const at = email.lastIndexOf('@');
  return `${Array.from(email)[0] ?? ''}•••${email.slice(at)}`;
}
