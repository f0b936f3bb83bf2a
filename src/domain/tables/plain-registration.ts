/** A registration as two are compared: without blanks, hyphens and case. */
export function plainRegistration(registration: string): string {
  return registration.toUpperCase().replaceAll(/[\s\-·.]+/g, '');
}
