import type { Checked } from './models.ts';
import type { Offers, Speaker } from './sheet.ts';

type Model = Pick<Checked<'visit-offered'>, 'offers' | 'organisation'>;

/** The weeks to choose from; without any, how to get one. A private owner oils by himself. */
export function offersOf(model: Model, speaker: Speaker): Offers | null {
  const items = model.offers.map(({ label, url }) => ({
    label: speaker.week(label, 'button'),
    url,
  }));
  if (items.length > 0) return { intro: speaker.say('offers.choose'), items };
  if (model.organisation.kind === 'private') return null;
  return { intro: speaker.say('offers.none'), items };
}
