/** Starts a throw-away PostgreSQL on loopback; `url(name)` creates a database in it. */
export function startPostgresql(): Promise<{
  url(name: string): Promise<string>;
  stop(): Promise<void>;
}>;
