import { z } from 'zod';
import { mark } from './rules.ts';

export const wording = z.object({ en: z.string(), de: z.string() });

/** Stands above every list of cautions: the handbook and local rules come first. */
export const firstCaution = wording;

export const caution = z
  .object({ id: z.string(), hazard: wording, show: wording, mark, source: z.string() })
  .meta({ id: 'Caution', description: 'One way to come to harm, and what to do against it.' });
