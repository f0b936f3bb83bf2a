import { z } from 'zod';
import { LARGEST_PRICE, LARGEST_TAX_RATE } from '../../domain/money/amount.ts';
import { isCurrency } from '../../domain/money/currency.ts';

export const id = z.string().min(1).max(64);
export const word = z.string().min(1).max(80);
export const count = z.int().min(0);
export const version = z.int().min(1);
export const pixels = z
  .string()
  .max(4_000_000)
  .regex(/^[A-Za-z0-9_-]+$/, 'Give a picture in base64url.');
export const price = z.int().min(0).max(LARGEST_PRICE);
export const taxRate = z.int().min(0).max(LARGEST_TAX_RATE);
export const currency = z.string().refine(isCurrency, 'Give a currency of ISO 4217, such as EUR.');
export const addressHash = z
  .string()
  .regex(/^[0-9a-f]{64}$/, 'Give a SHA-256 in hexadecimal digits.');
export const letterText = z.string().max(400_000);
/** The fields of a record as its table holds them: what need not be said is null. */
export const asStored = (fields: Readonly<Record<string, z.ZodType>>): Record<string, z.ZodType> =>
  Object.fromEntries(
    Object.entries(fields).map(([name, field]) => [
      name,
      field instanceof z.ZodOptional ? (field.unwrap() as z.ZodType).nullable() : field,
    ]),
  );

export const orNull = <T extends z.ZodType>(field: z.ZodOptional<T>) => field.unwrap().nullable();
