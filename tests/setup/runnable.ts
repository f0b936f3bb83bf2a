import { existsSync } from 'node:fs';

/**
 * Whether tests that need programs from the system's packages run here. Where the environment says
 * `required`, as CI does, they run whatever is there, and fail for want of it instead of being
 * skipped in silence. `permitted` is whether this user may start them.
 */
export function runnable(
  demand: 'FOLDKEEP_BROWSER' | 'FOLDKEEP_POSTFIX',
  programs: readonly string[],
  permitted = true,
): boolean {
  if (process.env[demand] === 'required') return true;
  return permitted && programs.every((program) => existsSync(program));
}
