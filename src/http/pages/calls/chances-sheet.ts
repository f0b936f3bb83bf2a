import type { Outcomes } from '../../../domain/calls/calibration.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';

interface Bar {
  readonly name: string;
  readonly rule: string;
  readonly seen: string;
  readonly used: string;
  readonly spans: string;
  readonly isOwn: boolean;
  /** Places across the plot, 0 to 300. */
  readonly x: { readonly rule: number; readonly seen: number | null; readonly used: number };
}

export interface ChancesModel {
  readonly rows: readonly Bar[];
  readonly most: string;
  readonly because: readonly string[];
}

const WIDTH = 300;

/** What the shop rule expected of joints and what was seen, side by side, with the sums behind it. */
export function chancesSheet(
  outcomes: readonly Outcomes[],
  because: readonly string[],
  voice: Voice,
): [Frame, ChancesModel] {
  const { say, locale } = voice;
  const { percent } = locale;
  const seenOf = ({ seen, spans }: Outcomes) => (spans === 0 ? null : Math.min(1, seen / spans));
  const most = Math.max(
    0.1,
    ...outcomes.flatMap((one) => [one.shopRule, one.used, seenOf(one) ?? 0]),
  );
  const across = (share: number) => Math.round((share / most) * WIDTH);
  const model: ChancesModel = {
    rows: outcomes.map((one) => {
      const seen = seenOf(one);
      return {
        name: say(`chances.${one.cause}`),
        rule: percent(one.shopRule),
        seen:
          seen === null
            ? say('chances.none')
            : say('chances.seen', { share: percent(seen), count: locale.number(one.seen) }),
        used: percent(one.used),
        spans: locale.number(Math.round(one.spans)),
        isOwn: one.isOwn,
        x: {
          rule: across(one.shopRule),
          seen: seen === null ? null : across(seen),
          used: across(one.used),
        },
      };
    }),
    most: percent(most),
    because: because.map(voice.tell),
  };
  return [{ lang: voice.language, title: say('chances.title'), nav: { here: 'today' } }, model];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly chances: ChancesModel;
  }
}
