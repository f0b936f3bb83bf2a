/**
 * What each page must be told, by the name of its template; a template can ask for nothing else. Every
 * sheet adds its own page here (declaration merging), so that the frame knows no page.
 */
// oxlint-disable-next-line typescript/no-empty-interface
export interface PageModels {}
