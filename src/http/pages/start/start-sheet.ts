import type { StartRecord } from '../../../usecases/settings/start-guide.ts';
import { localeOf } from '../../../views/words/locale.ts';
import type { FieldModel, FormModel, Sent } from '../frame/form.ts';
import { field, formOf, typedIn } from '../frame/form.ts';
import type { Frame } from '../frame/frame.ts';

const EN = localeOf('en-GB');

interface Step {
  readonly heading: string;
  /** What is still missing; empty where it is done. */
  readonly missing: string;
  readonly words: string;
}

export interface StartModel {
  readonly lead: string;
  readonly house: Step;
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
  looking: { readonly once: string; readonly sent: Sent | null; readonly canTry: boolean },
): [Frame, StartModel] {
  const { once, sent, canTry } = looking;
  const { name, email, phone, postalAddress, timeZone, version } = organisation;
  const isOwn = organisation.kind === 'private';
  const fields = [
    field(sent, 'email', 'Mail address for answers', {
      type: 'email',
      mode: 'email',
      value: email,
      hint: isOwn ? 'Your letters name it.' : 'Where the answers to your letters go.',
    }),
    field(sent, 'phone', 'Telephone', {
      type: 'tel',
      value: phone,
      hint: isOwn
        ? 'Left empty, letters name none.'
        : 'Owners are asked to ring it, first of all where a top must not be moved.',
    }),
    field(sent, 'postalAddress', 'Postal address', {
      value: postalAddress,
      area: true,
      hint: isOwn
        ? 'Stands at the foot of your letters.'
        : 'Stands at the foot of every letter; the law of many countries asks for it.',
    }),
  ];
  // Whoever writes to nobody but themselves lacks none of it.
  const lacking = isOwn
    ? []
    : [
        ...(email === null ? ['the mail address for answers'] : []),
        ...(phone === null ? ['the telephone'] : []),
        ...(postalAddress === null ? ['the postal address'] : []),
      ];
  const steps = {
    house: {
      heading: isOwn ? 'You, and your sign-in' : 'The organisation, and your sign-in',
      missing: '',
      words: isOwn
        ? `${name}, on the clock of ${timeZone}.`
        : `${name}, on the clock of ${timeZone}. You are its manager.`,
    },
    hours: isOwn
      ? null
      : {
          heading: 'Opening hours and holidays',
          missing: hoursMissing(diary),
          words: 'Visits are offered on open days alone, never on a public holiday of your place.',
        },
    sender: {
      heading: isOwn ? 'How you are reached' : 'Whom letters come from',
      missing: lacking.length === 0 ? '' : `Still missing: ${lacking.join(', ')}.`,
      words: isOwn ? 'It stands in your letters.' : 'Owners see it in every letter.',
      form: {
        ...formOf('/start/sender', once, sent, fields),
        version: typedIn(sent, 'version') ?? String(version),
      },
      fields,
    },
    letter: {
      heading: 'A trial letter',
      missing: lastTrial === null ? 'Not tried yet.' : '',
      words:
        lastTrial === null
          ? `Sends one letter to ${address ?? 'you'}, the way that all letters go, and says what happened.`
          : `${EN.instant(lastTrial.at, timeZone)}: ${lastTrial.words}`,
      canTry: canTry && address !== null,
    },
    records: {
      heading: isOwn ? 'Your car' : 'Your cars',
      missing: hasCars ? '' : 'No car is on record yet.',
      words: isOwn
        ? 'Where it stands, and the top that is on it. More can follow.'
        : 'Bring the list that you have, or begin with one car.',
      table: !isOwn,
    },
  };
  const open = Object.values(steps).filter((step) => (step?.missing ?? '') !== '').length;
  const lead =
    open === 0
      ? 'Everything is set up.'
      : `${open === 1 ? 'One step is' : `${open} steps are`} still open. In any order; leave it and come back when you like.`;
  return [
    { lang: 'en', title: 'Getting started', nav: { here: 'settings' } },
    { lead, ...steps },
  ];
}

function hoursMissing({ version, place }: StartRecord['diary']): string {
  const lacking = [
    ...(version <= 1 ? ['your hours; until then Monday to Friday'] : []),
    ...(place === null ? ['the place whose holidays you keep'] : []),
  ];
  return lacking.length === 0 ? '' : `Still missing: ${lacking.join('; ')}.`;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly start: StartModel;
  }
}
