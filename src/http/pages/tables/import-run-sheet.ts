import type { EndedRun, OpenRun } from '../../../usecases/tables/import-runs.ts';
import type { TakingBack } from '../../../usecases/tables/take-back-run.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { FormModel, Sent } from '../frame/form.ts';
import { formOf } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';
import type { OpenRunModel } from './import-open-sheet.ts';
import { countsOf, openRunSheet, SHOWN } from './import-open-sheet.ts';

export interface ImportRunModel {
  readonly fileName: string;
  readonly done: string;
  readonly open: OpenRunModel | null;
  readonly ended: {
    readonly words: string;
    readonly counts: readonly string[];
    /** What can be taken back now, and what stands in the way. */
    readonly back: BackModel | null;
    /** Why nothing of it can be taken back here any more; empty where something can. */
    readonly over: string;
    readonly wrong: FormModel['wrong'];
  } | null;
}

interface BackModel {
  readonly gone: string;
  /** The form that takes all of it back; null where something stands in the way. */
  readonly whole: FormModel | null;
  readonly against: readonly string[];
  /** The form that takes back the cars on which nothing hangs; null where there is none. */
  readonly cars: {
    readonly form: FormModel;
    readonly words: string;
    readonly button: string;
  } | null;
  readonly none: boolean;
  readonly keeps: readonly {
    readonly href: string;
    readonly registration: string;
    readonly words: string;
  }[];
  readonly more: number;
}

/** A table that was handed in: what it means and would do, or what it did. */
export function runSheet(
  run: OpenRun | EndedRun,
  back: TakingBack | null,
  view: {
    readonly once: string;
    readonly sent: Sent | null;
    readonly done?: string | undefined;
    readonly fault: string | null;
  },
  voice: Voice,
): [Frame, ImportRunModel] {
  const model: ImportRunModel = {
    fileName: run.fileName,
    done: doneWords(view.done ?? '', voice),
    open: run.state === 'open' ? openRunSheet(run, view, voice) : null,
    ended: run.state === 'open' ? null : endedModel(run, back, view, voice),
  };
  return [
    { lang: voice.language, title: voice.say('import.run.title'), nav: { here: 'settings' } },
    model,
  ];
}

const BACK = /^(\d{1,7})-back$/;

function doneWords(done: string, { say, count }: Voice): string {
  if (done === 'named') return say('import.done.named');
  const [, cars] = BACK.exec(done) ?? [];
  return cars === undefined ? '' : count('import.done.back', Number(cars));
}

function endedModel(
  run: EndedRun,
  back: TakingBack | null,
  { once, sent }: { readonly once: string; readonly sent: Sent | null },
  voice: Voice,
): NonNullable<ImportRunModel['ended']> {
  const form = formOf(`/import/${run.id}/undo`, once, sent, []);
  return {
    words:
      run.state === 'undone' ? voice.say('import.ended.undone') : voice.say('import.ended.done'),
    counts: run.tally === null ? [] : countsOf(run.tally, voice),
    back: back && backModel(run, back, once, voice),
    over: run.state === 'done' && back === null ? voice.say('import.undo.over') : '',
    wrong: form.wrong,
  };
}

function backModel(
  run: EndedRun,
  { against, cars, gone }: TakingBack,
  once: string,
  { tell, count }: Voice,
): BackModel {
  const free = cars.filter(({ keeps }) => keeps.length === 0).length;
  const kept = cars.filter(({ keeps }) => keeps.length > 0);
  const whole = against.length === 0;
  return {
    gone: gone > 0 ? count('import.back.gone', gone) : '',
    whole: whole ? formOf(`/import/${run.id}/undo`, once, null, []) : null,
    against: against.map(tell),
    cars:
      whole || free === 0
        ? null
        : {
            form: formOf(`/import/${run.id}/undo-cars`, once, null, []),
            words: count('import.back.free', free),
            button: count('import.back.button', free),
          },
    none: !whole && free === 0,
    keeps: whole
      ? []
      : kept.slice(0, SHOWN).map(({ carId, registration, keeps }) => ({
          href: `/cars/${carId}`,
          registration,
          words: keeps.map(tell).join('; '),
        })),
    more: whole ? 0 : Math.max(0, kept.length - SHOWN),
  };
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly 'import-run': ImportRunModel;
  }
}
