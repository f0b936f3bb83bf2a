import { ROLES, type Role } from '../../../domain/people/rights.ts';
import type { Voice } from '../../../views/words/voice.ts';
import { spokenChoices } from '../frame/form.ts';

/** A role as people say it: "a fitter". */
export function roleWords({ say }: Voice, role: Role): string {
  return say(`role.${role}`);
}

/** What a role may do, for whoever gives it. */
export function roleChoices(voice: Voice): [string, string][] {
  return spokenChoices(voice, 'role.choice', ROLES);
}
