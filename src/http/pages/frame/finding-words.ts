/** What somebody wrote as a sentence that others can follow: with the point at its end that it may lack. */
export function sentence(written: string): string {
  const text = written.trim();
  return /[.!?…]["'”’)]?$/.test(text) ? text : `${text.replace(/[,;:]+$/, '')}.`;
}

const OUTCOME_WORDS: Readonly<Record<string, string>> = {
  advised: 'No answer yet.',
  accepted: 'Agreed.',
  declined: 'Declined.',
  done: 'Done.',
};

export interface FoundFacts {
  readonly pivot: string | null;
  readonly text: string;
  readonly advised: string | null;
  readonly outcome: string;
}

/** What was found, without what came of it: "L-MAIN: A seam opens." */
export function foundInWords({ pivot, text }: Pick<FoundFacts, 'pivot' | 'text'>): string {
  return `${pivot === null ? '' : `${pivot}: `}${sentence(text)}`;
}

/** A finding whole: "L-MAIN: A seam opens. Advised: Sew it. Declined." */
export function findingInWords(finding: FoundFacts): string {
  const { advised, outcome } = finding;
  return [
    foundInWords(finding),
    ...(advised === null ? [] : [`Advised: ${sentence(advised)}`]),
    OUTCOME_WORDS[outcome] ?? sentence(outcome),
  ].join(' ');
}
