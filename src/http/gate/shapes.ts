import { z } from 'zod';
import { id } from '../../usecases/records/record-fields.ts';

export {
  day,
  id,
  instant,
  language,
  line,
  prose,
  timeZone,
} from '../../usecases/records/record-fields.ts';

export const idParams = z.strictObject({ id });

export const pageQuery = z.strictObject({
  limit: z.coerce.number().int().min(1).max(200).default(50),
  after: z.string().max(400).optional(),
});

/** A page of a list: hand `next` in as `after`; null at the end. */
export const pageOf = <T extends z.ZodType>(item: T) =>
  z.object({ items: z.array(item), next: z.string().nullable() });

export const version = z.int().meta({ description: 'Rises with every change; the ETag names it.' });
