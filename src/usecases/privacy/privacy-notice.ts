import { figuresFor } from '../../domain/figure-tables/figure-tables.ts';
import type { DataKind, RetentionName } from '../../domain/privacy/data-kinds.ts';
import { DATA_KINDS } from '../../domain/privacy/data-kinds.ts';
import { findOrganisation } from '../../store/organisations/organisation-rows.ts';
import type { Context } from '../context/context.ts';
import { ownFiguresFrom } from '../figures/shop-rules.ts';

/** What is held about people in one organisation, and for how long. */
export interface PrivacyNotice {
  readonly organisation: {
    readonly id: string;
    readonly name: string;
    readonly postalAddress: string | null;
    readonly email: string | null;
    readonly phone: string | null;
    readonly language: string;
  };
  readonly kinds: readonly {
    readonly id: string;
    readonly about: DataKind['about'];
    /** After so many months it goes by itself; 0 where it is kept until it is erased. */
    readonly months: number;
  }[];
}

/** The notice of an organisation, for anybody who has its address; null where there is none. */
export async function readPrivacyNotice(
  context: Context,
  organisationId: string,
): Promise<PrivacyNotice | null> {
  const organisation = await findOrganisation(context.store.sql, organisationId);
  if (organisation === null) return null;
  const { id, name, postalAddress, email, phone, language } = organisation;
  const months = figuresFor('retention', ownFiguresFrom(organisation.ownRules));
  const of = (keptBy: RetentionName | null) => (keptBy === null ? 0 : months[keptBy]);
  return {
    organisation: { id, name, postalAddress, email, phone, language },
    kinds: DATA_KINDS.map((one) => ({ id: one.id, about: one.about, months: of(one.keptBy) })),
  };
}
