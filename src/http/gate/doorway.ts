import type { Post } from '../../usecases/people/invite.ts';
import type { Trial } from '../../usecases/settings/start-guide.ts';

/** What the door hands to the entrances, beyond the deeds themselves. */
export interface Doorway {
  /** Folder of the mail tray, or null where letters leave by SMTP. */
  readonly mailTray: string | null;
  /** Sends a message to somebody of the organisation; absent where no mail server is set. */
  readonly post?: Post;
  /** Sends a letter as all letters go, mail tray too, and says what happened. */
  readonly trial?: Trial;
  /** Where the database is, for what reads it as it is at one moment; absent where nothing may. */
  readonly databaseUrl?: string;
  /** Whether the parts behind the server are at work: database, round, delivery. */
  ready(): Promise<{ readonly ready: boolean; readonly parts: Readonly<Record<string, string>> }>;
  metrics(): Promise<{ readonly contentType: string; readonly text: string }>;
}
