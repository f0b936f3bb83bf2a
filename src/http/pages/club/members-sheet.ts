import type { MemberRecord, MembersRecord } from '../../../usecases/club/members.ts';
import type { Voice } from '../../../views/words/voice.ts';
import type { Frame } from '../frame/frame.ts';

export interface MembersModel {
  readonly lead: string;
  readonly search: string;
  readonly months: readonly {
    readonly href: string;
    readonly words: string;
    readonly here: boolean;
  }[];
  readonly members: readonly {
    readonly href: string;
    readonly name: string;
    readonly cars: readonly {
      readonly href: string;
      readonly registration: string;
      readonly due: string;
    }[];
    readonly agreed: string;
  }[];
  readonly add: boolean;
}

/** The members of a club and their cars, each with the month in which its oil is due. */
export function membersSheet(
  { members, all, months }: MembersRecord,
  {
    search,
    month,
    keeps,
  }: { readonly search: string; readonly month: string; readonly keeps: boolean },
  voice: Voice,
): [Frame, MembersModel] {
  const { say } = voice;
  const total = voice.count('members.count', all);
  const model: MembersModel = {
    lead:
      search === '' && month === ''
        ? say('members.lead', { members: total })
        : say('members.found', {
            found: voice.locale.number(members.length),
            members: total,
          }),
    search,
    months: months.map((one) => ({
      href: `/members?month=${one.month}`,
      words: say('members.month', {
        month: voice.locale.month(`${one.month}-15`),
        cars: voice.locale.number(one.cars),
      }),
      here: one.month === month,
    })),
    members: members.map((member) => ({
      href: `/owners/${member.id}`,
      name: member.name,
      cars: member.cars.map(({ id, registration, dueOn }) => ({
        href: `/cars/${id}`,
        registration,
        due:
          dueOn === null
            ? say('members.no-top')
            : say('members.due', { month: voice.locale.month(dueOn) }),
      })),
      agreed: agreedWords(member, voice),
    })),
    add: keeps,
  };
  const { language: lang } = voice;
  return [{ lang, title: say('members.title'), nav: { here: 'members' } }, model];
}

function agreedWords({ refused, cars }: MemberRecord, { say, count }: Voice): string {
  const shares = cars.reduce((sum, car) => sum + car.shares, 0);
  return [
    refused.length === 0
      ? say('members.letters.all')
      : count('members.letters.refused', refused.length),
    shares === 0 ? say('members.shares.none') : count('members.shares', shares),
  ].join('; ');
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly members: MembersModel;
  }
}
