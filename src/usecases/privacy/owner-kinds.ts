import { DATA_KINDS } from '../../domain/privacy/data-kinds.ts';
import type { PrivacyNotice } from './privacy-notice.ts';

/** The kinds of what is held about owners, with the tables that hold it and how long. */
export function ownerKinds({ kinds }: Pick<PrivacyNotice, 'kinds'>) {
  return kinds
    .filter(({ about }) => about === 'owner')
    .map(({ id, months }) => ({
      id,
      months,
      tables: Object.keys(DATA_KINDS.find((kind) => kind.id === id)?.columns ?? {}),
    }));
}
