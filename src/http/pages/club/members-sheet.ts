import type { MemberRecord, MembersRecord } from '../../../usecases/club/members.ts';
import { localeOf } from '../../../views/words/locale.ts';
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

const EN = localeOf('en-GB');

/** The members of a club and their cars, each with the month in which its oil is due. */
export function membersSheet(
  { members, all, months }: MembersRecord,
  {
    search,
    month,
    keeps,
  }: { readonly search: string; readonly month: string; readonly keeps: boolean },
): [Frame, MembersModel] {
  const total = all === 1 ? 'One member' : `${all} members`;
  const model: MembersModel = {
    lead:
      search === '' && month === ''
        ? `${total}. The month behind a car is the one in which its oil is due.`
        : `${members.length === 1 ? 'One' : members.length} of ${total}.`,
    search,
    months: months.map((one) => ({
      href: `/members?month=${one.month}`,
      words: `${monthWords(one.month)}: ${one.cars}`,
      here: one.month === month,
    })),
    members: members.map((member) => ({
      href: `/owners/${member.id}`,
      name: member.name,
      cars: member.cars.map(({ id, registration, dueOn }) => ({
        href: `/cars/${id}`,
        registration,
        due: dueOn === null ? 'no top noted yet' : `due ${monthWords(dueOn.slice(0, 7))}`,
      })),
      agreed: agreedWords(member),
    })),
    add: keeps,
  };
  return [{ lang: 'en', title: 'Members', nav: { here: 'members' } }, model];
}

function monthWords(month: string): string {
  const format = { month: 'long', year: 'numeric', timeZone: 'UTC' } as const;
  return new Intl.DateTimeFormat(EN.tag, format).format(new Date(`${month}-15T12:00:00Z`));
}

function agreedWords({ refused, cars }: MemberRecord): string {
  const shares = cars.reduce((sum, car) => sum + car.shares, 0);
  return [
    refused.length === 0 ? 'all letters' : `refuses ${kinds(refused.length)} of letters`,
    shares === 0 ? 'shares nothing further' : `shares ${kinds(shares)} of records`,
  ].join('; ');
}

function kinds(count: number): string {
  return `${EN.number(count)} ${count === 1 ? 'kind' : 'kinds'}`;
}

declare module '../frame/page-models.ts' {
  interface PageModels {
    readonly members: MembersModel;
  }
}
