import { z } from 'zod';
import { mark } from './rules.ts';

/** One thought in both languages. */
export const wording = z.object({ en: z.string(), de: z.string() });

export const caution = z
  .object({ id: z.string(), hazard: wording, show: wording, mark, source: z.string() })
  .meta({ id: 'Caution', description: 'One way to come to harm, and what to do against it.' });
