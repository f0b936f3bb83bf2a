import type { Frame } from './frame.ts';
import type { Voice } from '../../../views/words/voice.ts';

/** A page that says what was wrong and what to do. */
export interface ProblemModel {
  readonly heading: string;
  readonly words: readonly string[];
  readonly back: { readonly words: string; readonly href: string } | null;
}

type Page = readonly [frame: Frame, model: ProblemModel];

/** The one answer to every link that opens nothing, so that none can be told from another. */
export function unknownLink(voice: Voice): Page {
  return problem(voice, 'unknown.heading', [voice.say('unknown.lead'), voice.say('unknown.what')]);
}

/** An address that leads nowhere. */
export function nowhere(voice: Voice): Page {
  const [frame, model] = problem(voice, 'nowhere.heading', [voice.say('nowhere.lead')]);
  return [frame, { ...model, back: { words: voice.say('nowhere.back'), href: '/home' } }];
}

/** A refusal in words that the rule itself chose. */
export function refused(voice: Voice, words: readonly string[], backTo: string | null): Page {
  return problem(voice, 'refused.heading', words, backTo);
}

/** What kept a form of the shop's pages from being recorded. */
export function notRecorded({ language, say }: Voice, words: string): Page {
  const model = { heading: say('form.refused.heading'), words: [words], back: null };
  return [{ lang: language, title: model.heading, nav: { here: '' } }, model];
}

/** A fault of ours. */
export function broken(voice: Voice): Page {
  return problem(voice, 'broken.heading', [voice.say('broken.lead')]);
}

function problem(
  voice: Voice,
  key: string,
  words: readonly string[],
  backTo: string | null = null,
): Page {
  const heading = voice.say(key);
  return [
    { lang: voice.language, title: heading, nav: null },
    {
      heading,
      words,
      back: backTo === null ? null : { words: voice.say('refused.back'), href: backTo },
    },
  ];
}

declare module './page-models.ts' {
  interface PageModels {
    readonly problem: ProblemModel;
  }
}
