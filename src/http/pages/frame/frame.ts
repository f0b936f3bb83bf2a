/** What surrounds a page. */
export interface Frame {
  /** Language tag of the words on the page. */
  readonly lang: string;
  /** Never with dates or places of a car: titles end up in histories and on shared screens. */
  readonly title: string;
  /** Links of a signed-in person; null on pages that are opened by a link of their own. */
  readonly nav: {
    readonly here: string;
    /** What stands in the search field; empty where nothing was searched for. */
    readonly find?: string;
  } | null;
}
