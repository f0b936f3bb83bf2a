import type { GroupOrderRecord } from '../../../usecases/care-days/group-order.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';

export interface OrderModel {
  readonly heading: string;
  readonly lead: string;
  readonly dayHref: string;
  readonly lines: readonly {
    readonly label: string;
    readonly piece: string;
    readonly forTheDay: string;
    readonly inHand: string;
    readonly wished: string;
    readonly order: string;
    readonly because: string;
  }[];
  readonly members: readonly { readonly name: string; readonly parts: readonly string[] }[];
}

/** The group order of a care day: in all, and member by member. */
export function orderSheet(
  { day, cars, lines, members }: GroupOrderRecord,
  voice: Voice,
): [Frame, OrderModel] {
  const { say, tell, language } = voice;
  const model: OrderModel = {
    heading: say('group-order.heading', { day: voice.day(day.heldOn) }),
    lead: voice.count('group-order.lead', cars),
    dayHref: `/care-day/${day.id}`,
    lines: lines.map(({ label, piece, because, ...figures }) => ({
      label: tell(label),
      piece: tell(piece),
      because: tell(because),
      forTheDay: String(figures.forTheDay),
      inHand: String(figures.inHand),
      wished: String(figures.wished),
      order: String(figures.order),
    })),
    members: members.map(({ name, registration, parts }) => ({
      name: `${name}, ${registration}`,
      parts: parts.map(({ label, piece, pieces }) => `${pieces} × ${tell(label)} (${tell(piece)})`),
    })),
  };
  return [{ lang: language, title: say('group-order.title'), nav: { here: 'care-day' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'group-order': OrderModel;
  }
}
