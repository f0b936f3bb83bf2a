import type { FaultShare, PatternFaults } from '../../../domain/practice/pattern-faults.ts';
import type { Frame } from '../frame/frame.ts';

export interface PatternFaultsModel {
  readonly lead: string;
  readonly patterns: readonly {
    readonly name: string;
    readonly words: string;
    readonly faults: readonly { readonly name: string; readonly words: string }[];
  }[];
}

/** How often which fault was found, frame pattern by frame pattern. */
export function patternFaultsSheet({
  patterns,
  fewest,
}: {
  readonly patterns: readonly PatternFaults[];
  readonly fewest: number;
}): [Frame, PatternFaultsModel] {
  const model: PatternFaultsModel = {
    lead: 'What was ever found on the cars that were looked at. Cars are counted, not joints: what is found on one car hangs together. No member is named, and under few cars nothing is said.',
    patterns: patterns.map(({ pattern, cars, faults }) => ({
      name: pattern.replaceAll('-', ' '),
      words:
        faults === null
          ? `${cars === 1 ? 'One car was' : `${cars} cars were`} looked at: too few to say anything without telling of single members (shop rule: ${fewest}).`
          : `${cars} cars were looked at.${faults.length === 0 ? ' Nothing was found on any.' : ''}`,
      faults: (faults ?? []).map((one) => ({ name: one.fault, words: shareWords(one, cars) })),
    })),
  };
  return [{ lang: 'en', title: 'Faults by frame pattern', nav: { here: 'members' } }, model];
}

function shareWords({ cars, share }: FaultShare, of: number): string {
  const count = `${cars} of ${of} cars`;
  if (share === null) return `${count}; too few for a share`;
  const [low, high] = [share.low, share.high].map((one) => Math.round(one * 100));
  return `${count}; of all such cars likely between ${low} and ${high} %`;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'pattern-faults': PatternFaultsModel;
  }
}
