import { existsSync } from 'node:fs';

/**
 * Whether tests that need programs from the system's packages run here. Where the environment says
 * `required`, as CI does, they run whatever is there, and fail for want of it instead of being
 * skipped in silence.
 */
export function runnable(
  demand: 'FOLDKEEP_BROWSER' | 'FOLDKEEP_POSTFIX',
  programs: readonly string[],
): boolean {
  return process.env[demand] === 'required' || programs.every((program) => existsSync(program));
}
