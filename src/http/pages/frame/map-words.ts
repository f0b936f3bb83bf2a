import type { MapSide } from '../../../views/pivot-map.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { jointWords } from './finding-words.ts';

/** A side of the frame as a drawing, with its words. */
export interface SpokenSide extends MapSide {
  readonly caption: string;
}

/** The drawings of a frame in the words of a voice; `judged` tells the verdicts beside the joints. */
export function spokenMap(map: readonly MapSide[], judged: boolean, voice: Voice): SpokenSide[] {
  const { say } = voice;
  return map.map((drawn) => {
    const side = say(`map.side.${drawn.side}`);
    const joints = drawn.points.map(({ code, verdict }) =>
      judged ? `${jointWords(voice, code)} ${say(`verdict.${verdict}`)}` : jointWords(voice, code),
    );
    return {
      ...drawn,
      name: side,
      caption: say('map.caption', { side }),
      told: say('map.told', { side, joints: joints.join(', ') }),
    };
  });
}
