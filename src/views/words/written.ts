import { FAULTS } from '../../domain/faults/fault-rows.ts';
import { pageWords, voiceFor } from './voice.ts';

/** What somebody wrote as a sentence that others can follow: with the point at its end that it may lack. */
export function sentence(written: string): string {
  const text = written.trim();
  return /[.!?…]["'”’)]?$/.test(text) ? text : `${text.replace(/[,;:]+$/, '')}.`;
}

let rules: ReadonlyMap<string, string> | undefined;

/**
 * What fault finding wrote into the record, in another language: it is kept in that of the organisation
 * beside what people typed. Null for the words of a person, which stay as they were typed.
 */
export function writtenByRule(written: string, language: string): string | null {
  rules ??= new Map(sentences());
  const rule = rules.get(written);
  return rule === undefined ? null : voiceFor(language).tell(rule);
}

/** Each sentence that a plan of work can hold, as every language of the pages writes it. */
function sentences(): [string, string][] {
  const said = [
    'comes with the new cover',
    ...FAULTS.flatMap(({ item, remedy }) => [
      item,
      `${item} (proven)`,
      `${item} (likely, to be proven first)`,
      remedy,
    ]),
  ];
  return [...pageWords().keys()].flatMap((language) =>
    said.map((one): [string, string] => [voiceFor(language).tell(one), one]),
  );
}
