/** Starts a throw-away PostgreSQL on loopback, its folder in `parent`; `url(name)` creates a database in it. */
export function startPostgresql(parent?: string): Promise<{
  url(name: string): Promise<string>;
  stop(): Promise<void>;
}>;
