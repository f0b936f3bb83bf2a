/** A telephone number that stays on one line, wherever it stands in a sentence. */
export function unbroken(phone: string): string {
  return phone.replaceAll(' ', '\u00A0').replaceAll('-', '\u2011');
}
