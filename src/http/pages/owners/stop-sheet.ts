import type { Topic } from '../../../domain/round/letter-kind.ts';
import type { Frame } from '../frame/frame.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { StopPageRecord } from '../../../usecases/owners/stop-letters.ts';

interface Choice {
  readonly wish: string;
  readonly button: string;
  readonly explained: string;
  readonly main: boolean;
}

export interface StopModel {
  readonly heading: string;
  readonly lead: string;
  readonly done: string | null;
  readonly topics: readonly {
    readonly name: string;
    readonly about: string;
    readonly refused: boolean;
    readonly state: string;
  }[];
  readonly topicsHeading: string;
  readonly choicesHeading: string;
  readonly choices: readonly Choice[];
  readonly always: string;
  readonly sender: readonly string[];
}

/**
 * The page behind a letter's stop link. `done` is what was just asked, if anything. Only wishes
 * that would change something have a button.
 */
export function stopSheet(
  facts: StopPageRecord,
  voice: Voice,
  done: string | null,
): [Frame, StopModel] {
  const { say } = voice;
  const { organisation, address, topic, topics } = facts;
  const stopped = topics.filter(({ refused }) => refused);
  const own = topics.find((entry) => entry.topic === topic);
  const comes = (name: Topic) => topics.some((entry) => entry.topic === name && !entry.refused);
  const choice = (wish: string, main = false): Choice => ({
    wish,
    button: say(`stop.button.${wish}`),
    explained: say(`stop.explained.${wish}`, {
      topic: own === undefined ? '' : say(`topic.${own.topic}.name`),
    }),
    main,
  });
  const model: StopModel = {
    heading: say('stop.heading'),
    lead: say('stop.lead', { organisation: organisation.name, address }),
    done: done === null ? null : say(`stop.done.${done}`),
    topicsHeading: say('stop.topics'),
    topics: topics.map(({ topic: name, refused }) => ({
      name: say(`topic.${name}.name`),
      about: say(`topic.${name}.about`),
      refused,
      state: say(refused ? 'stop.state.refused' : 'stop.state.comes'),
    })),
    choicesHeading: say('stop.choices'),
    choices: [
      ...(own !== undefined && !own.refused ? [choice('stop', true)] : []),
      ...(comes('care-notes') && topic !== 'care-notes' ? [choice('fewer')] : []),
      ...(stopped.length < topics.length ? [choice('stop-all', own === undefined)] : []),
      ...(facts.undoable ? [choice('undo')] : []),
      ...(facts.toAgree === null ? [] : [choice('agree')]),
    ],
    always: say('stop.always'),
    sender: [organisation.name, ...(organisation.postalAddress ?? '').split('\n')].filter(
      (line) => line.trim() !== '',
    ),
  };
  return [{ lang: voice.language, title: say('stop.title'), nav: null }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly stop: StopModel;
  }
}
