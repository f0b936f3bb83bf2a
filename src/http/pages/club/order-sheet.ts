import type { GroupOrderRecord } from '../../../usecases/care-days/group-order.ts';
import { voiceFor } from '../../../views/words/voice.ts';
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
export function orderSheet({ day, cars, lines, members }: GroupOrderRecord): [Frame, OrderModel] {
  const model: OrderModel = {
    heading: `Group order for ${voiceFor('en').day(day.heldOn)}`,
    lead: `${cars === 1 ? 'One car has' : `${cars} cars have`} a time. What they need is reckoned from what is known of their joints, so that nothing runs short; what members ordered by their links is added.`,
    dayHref: `/care-day/${day.id}`,
    lines: lines.map(({ label, piece, because, ...figures }) => ({
      label,
      piece,
      because,
      forTheDay: String(figures.forTheDay),
      inHand: String(figures.inHand),
      wished: String(figures.wished),
      order: String(figures.order),
    })),
    members: members.map(({ name, registration, parts }) => ({
      name: `${name}, ${registration}`,
      parts: parts.map(({ label, piece, pieces }) => `${pieces} × ${label} (${piece})`),
    })),
  };
  return [{ lang: 'en', title: 'Group order', nav: { here: 'care-day' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'group-order': OrderModel;
  }
}
