import type { Sender } from '../mail/sender.ts';
import type { Deed } from './deed.ts';

export interface DeliveryOptions {
  readonly mailFrom: { readonly name: string; readonly address: string };
  readonly signal?: AbortSignal;
  readonly limit?: number;
  readonly organisationId?: string;
}

export interface DeliveryResult {
  readonly delivered: number;
  readonly retried: number;
  readonly refused: number;
  readonly unknown: number;
  readonly cancelled: number;
}

/** Delivers the letters that may leave now. */
export async function deliverLetters(
  _deed: Deed,
  _sender: Sender,
  _options: DeliveryOptions,
): Promise<DeliveryResult> {
  return { delivered: 0, retried: 0, refused: 0, unknown: 0, cancelled: 0 };
}
