/** A letter that cannot be written truthfully. `field` names what is missing, unknown or wrong. */
export class RenderRefused extends Error {
  readonly field: string;

  constructor(field: string, reason: string) {
    super(`${field}: ${reason}`);
    this.name = 'RenderRefused';
    this.field = field;
  }
}
