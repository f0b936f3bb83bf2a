import { framePatternNamed } from '../../../domain/pivots/frame-patterns.ts';
import type { Voice } from '../../../views/words/voice.ts';

/** "Four seats, folded by hand": a pattern by what a person reads; one of the shop's own by its name. */
export function patternInWords(name: string, tell: Voice['tell']): string {
  const known = framePatternNamed(name);
  return known === undefined ? name : tell(known.label);
}
