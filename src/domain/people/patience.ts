// How patient signing in is. Shop rules: OWASP ASVS 5.0 (6.3.1, 7.3) asks for such limits and leaves
// the numbers to whoever runs the organisation.

/** Wrong tries for one address, whether anybody has it or not, until it has to wait. */
export const TRIES = 10;
export const TRIES_MINUTES = 15;

/** A session ends after so long unused, and after so many days in any case. */
export const IDLE_HOURS = 12;
export const SESSION_DAYS = 14;

/** So long after signing in somebody may change how they sign in, without doing it again. */
export const FRESH_MINUTES = 15;

/** A challenge for a passkey waits so long for its answer. */
export const STEP_MINUTES = 5;

export const INVITATION_DAYS = 7;
/** The link that the first start prints, and one for somebody who lost every means of signing in. */
export const SHORT_LINK_HOURS = 24;

/** Letters and signs that a password has at the least (ASVS 5.0, 6.2.1 asks for 8). */
export const PASSWORD_LEAST = 12;
export const PASSWORD_MOST = 128;

export const RECOVERY_CODES = 10;
