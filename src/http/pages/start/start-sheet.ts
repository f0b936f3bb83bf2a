import type { StartRecord } from '../../../usecases/settings/start-guide.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Fillings } from '../../../views/words/words.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf, typedIn } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';

interface Step {
  readonly heading: string;
  /** What is still missing; empty where it is done. */
  readonly missing: string;
  readonly words: string;
}

export interface StartModel {
  readonly lead: string;
  readonly organisation: Step;
  /** Null for a private owner, who offers nobody a day. */
  readonly hours: Step | null;
  readonly sender: Step & {
    readonly form: FormModel & { readonly version: string };
    readonly fields: readonly FieldModel[];
  };
  readonly letter: Step & { readonly canTry: boolean };
  readonly records: Step & { readonly table: boolean };
}

/** What a new organisation sets up, with what is still missing at each step. */
export function startSheet(
  { organisation, diary, address, lastTrial, hasCars }: StartRecord,
  view: { readonly once: string; readonly sent: Sent | null; readonly canTry: boolean },
  voice: Voice,
): [Frame, StartModel] {
  const { once, sent, canTry } = view;
  const { say, has, tell, locale } = voice;
  const { kind, name, email, phone, postalAddress, timeZone, version } = organisation;
  const isOwn = kind === 'private';
  /** In the words of its kind where that has its own, else in those of a shop. */
  const byKind = (key: string, fillings: Fillings = {}) =>
    say(
      has(`start.kind.${kind}.${key}`) ? `start.kind.${kind}.${key}` : `start.kind.shop.${key}`,
      fillings,
    );
  const fields = [
    field(sent, 'email', say('start.email'), {
      type: 'email',
      mode: 'email',
      value: email,
      hint: byKind('email.hint'),
    }),
    field(sent, 'phone', say('start.phone'), {
      type: 'tel',
      value: phone,
      hint: byKind('phone.hint'),
    }),
    field(sent, 'postalAddress', say('start.address'), {
      value: postalAddress,
      area: true,
      hint: byKind('address.hint'),
    }),
  ];
  // Whoever writes to nobody but themselves lacks none of it.
  const lacking = isOwn
    ? []
    : [
        ...(email === null ? [say('start.sender.email.missing')] : []),
        ...(phone === null ? [say('start.sender.phone.missing')] : []),
        ...(postalAddress === null ? [say('start.sender.address.missing')] : []),
      ];
  const missing = (what: readonly string[], between: string) =>
    what.length === 0 ? '' : say('start.missing', { what: what.join(between) });
  const steps = {
    organisation: {
      heading: byKind('organisation'),
      missing: '',
      words: byKind('organisation.words', { name, zone: timeZone }),
    },
    hours: isOwn
      ? null
      : {
          heading: byKind('hours'),
          missing: missing(hoursMissing(diary, voice), '; '),
          words: byKind('hours.words'),
        },
    sender: {
      heading: byKind('sender'),
      missing: missing(lacking, ', '),
      words: byKind('sender.words'),
      form: {
        ...formOf('/start/sender', once, sent, fields),
        version: typedIn(sent, 'version') ?? String(version),
      },
      fields,
    },
    letter: {
      heading: say('start.letter'),
      missing: lastTrial === null ? say('start.letter.missing') : '',
      words:
        lastTrial === null
          ? say('start.letter.words', { address: address ?? say('start.letter.you') })
          : say('start.letter.last', {
              when: locale.instant(lastTrial.at, timeZone),
              words: tell(lastTrial.words),
            }),
      canTry: canTry && address !== null,
    },
    records: {
      heading: byKind('cars'),
      missing: hasCars ? '' : say('start.cars.missing'),
      words: byKind('cars.words'),
      table: !isOwn,
    },
  };
  const open = Object.values(steps).filter((step) => (step?.missing ?? '') !== '').length;
  const lead = open === 0 ? say('start.lead.done') : voice.count('start.lead.open', open);
  return [
    { lang: voice.language, title: say('start.title'), nav: { here: 'settings' } },
    { lead, ...steps },
  ];
}

function hoursMissing({ version, place }: StartRecord['diary'], { say }: Voice): string[] {
  return [
    ...(version <= 1 ? [say('start.hours.own')] : []),
    ...(place === null ? [say('start.hours.place')] : []),
  ];
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly start: StartModel;
  }
}
