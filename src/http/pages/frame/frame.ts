import type { OrganisationKind } from '../../../domain/organisation-kind.ts';
/** What surrounds a page. */
export interface Frame {
  /** Language tag of the words on the page. */
  readonly lang: string;
  /** Never with dates or places of a car: titles end up in histories and on shared screens. */
  readonly title: string;
  /** Address of the script of a page that takes passkeys; no other page has one. */
  readonly script?: string;
  /** Links of a signed-in person; null on pages that are opened by a link of their own. */
  readonly nav: {
    readonly here: string;
    /** Whose pages they are; a shop's where it is not known. */
    readonly kind?: OrganisationKind;
    /** What they are spoken to in; the language of the page where absent. */
    readonly language?: string;
    /** What stands in the search field; empty where nothing was searched for. */
    readonly find?: string;
  } | null;
}
