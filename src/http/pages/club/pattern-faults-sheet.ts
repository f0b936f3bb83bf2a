import type { FaultShare, PatternFaults } from '../../../domain/practice/pattern-faults.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';
import { patternInWords } from '../frame/pattern-words.ts';

export interface PatternFaultsModel {
  readonly lead: string;
  readonly patterns: readonly {
    readonly name: string;
    readonly words: string;
    readonly faults: readonly { readonly name: string; readonly words: string }[];
  }[];
}

/** How often which fault was found, frame pattern by frame pattern. */
export function patternFaultsSheet(
  { patterns, fewest }: { readonly patterns: readonly PatternFaults[]; readonly fewest: number },
  voice: Voice,
): [Frame, PatternFaultsModel] {
  const { say, tell, language } = voice;
  const model: PatternFaultsModel = {
    lead: say('pattern-faults.lead'),
    patterns: patterns.map(({ pattern, cars, faults }) => ({
      name: patternInWords(pattern, tell),
      words:
        faults === null
          ? voice.count('pattern-faults.few', cars, { fewest: String(fewest) })
          : lookedAt(cars, faults.length === 0, voice),
      faults: (faults ?? []).map((one) => ({
        name: faultInWords(one.fault, tell),
        words: shareWords(one, cars, voice),
      })),
    })),
  };
  return [{ lang: language, title: say('pattern-faults.title'), nav: { here: 'members' } }, model];
}

function lookedAt(count: number, clean: boolean, voice: Voice): string {
  const cars = voice.count('pattern-faults.cars', count);
  return clean ? voice.say('pattern-faults.clean', { cars }) : cars;
}

/** Where something was found and what, or a fault and what it means: each is told by itself. */
function faultInWords(fault: string, tell: Voice['tell']): string {
  const at = fault.indexOf(': ');
  return at < 0 ? tell(fault) : `${tell(fault.slice(0, at))}: ${tell(fault.slice(at + 2))}`;
}

function shareWords({ cars, share }: FaultShare, all: number, { say, locale }: Voice): string {
  const counted = { cars: locale.number(cars), all: locale.number(all) };
  if (share === null) return say('pattern-faults.count', counted);
  const inHundred = (one: number) => locale.number(Math.round(one * 100));
  const between = { low: inHundred(share.low), high: inHundred(share.high) };
  return say('pattern-faults.share', { ...counted, ...between });
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'pattern-faults': PatternFaultsModel;
  }
}
