/** One thing wrong with what was handed in: where it stands and what to do about it. */
export interface Fault {
  /** JSON pointer into the body ("#/keeping/place"), or the name of a parameter or header. */
  readonly pointer: string;
  readonly detail: string;
}

/** The closed list of reasons for which a deed is refused. */
export type Refusal =
  | { readonly kind: 'invalid'; readonly faults: readonly Fault[] }
  | { readonly kind: 'not-found'; readonly what: string }
  | { readonly kind: 'conflict'; readonly detail: string; readonly faults?: readonly Fault[] }
  | { readonly kind: 'changed-meanwhile'; readonly detail: string }
  | { readonly kind: 'precondition-missing'; readonly detail: string }
  | { readonly kind: 'not-allowed'; readonly detail: string };

/** Thrown by a deed that will not be done; nothing of it has been written. */
export class Refused extends Error {
  readonly refusal: Refusal;

  constructor(refusal: Refusal) {
    super(wordsOf(refusal));
    this.name = 'Refused';
    this.refusal = refusal;
  }
}

/** A JSON pointer (RFC 6901) into the body, as the fragment of an address. */
export function pointerTo(path: readonly PropertyKey[]): string {
  const parts = path.map((part) => String(part).replaceAll('~', '~0').replaceAll('/', '~1'));
  return `#${parts.map((part) => `/${part}`).join('')}`;
}

/** Refuses a body or parameter by field. */
export function invalid(pointer: string, detail: string): Refused {
  return new Refused({ kind: 'invalid', faults: [{ pointer, detail }] });
}

/** Refuses because there is no such record in this organisation. */
export function notFound(what: string): Refused {
  return new Refused({ kind: 'not-found', what });
}

function wordsOf(refusal: Refusal): string {
  switch (refusal.kind) {
    case 'invalid':
      return refusal.faults.map((fault) => `${fault.pointer}: ${fault.detail}`).join('; ');
    case 'not-found':
      return `There is no such ${refusal.what} here.`;
    case 'conflict':
    case 'changed-meanwhile':
    case 'precondition-missing':
    case 'not-allowed':
      return refusal.detail;
  }
}
