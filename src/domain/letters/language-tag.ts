/** Whether a text is a language tag that dates and numbers can be written by (BCP 47). */
export function isLanguageTag(tag: string): boolean {
  try {
    return Intl.DateTimeFormat.supportedLocalesOf([tag]).length <= 1;
  } catch {
    return false;
  }
}
