import { outageOf } from './outage.ts';

/** Thrown where a database cannot be opened; the message says why and what to do. */
export class DatabaseUnusable extends Error {}

/** A fault met while a database was opened, in words where a person can mend it. */
export function unusable(databaseUrl: string, fault: unknown): unknown {
  const words = databaseUrl.startsWith('file:')
    ? wordsOfFile(databaseUrl.replace(/^file:/, ''), fault)
    : wordsOfServer(databaseUrl, fault);
  return words === null ? fault : new DatabaseUnusable(words, { cause: fault });
}

function wordsOfFile(file: string, fault: unknown): string | null {
  const code = String((fault as { code?: unknown }).code);
  if (/^(?:SQLITE_(?:CANTOPEN|READONLY|PERM)|EACCES|EROFS|EPERM)/.test(code)) {
    return `${file} cannot be written: this user may not, or its folder is not there. Give the folder to the user that runs Foldkeep, or set DATABASE_URL=file:PATH to another place.`;
  }
  switch (outageOf(fault)) {
    case 'damaged':
      return `${file} is damaged or cut off. Nothing was changed in it. Keep a copy of it, then bring back the latest backup: npx foldkeep restore BACKUP (without one, "sqlite3 ${file} .recover" may save a part).`;
    case 'full':
      return `The disk that holds ${file} is full. Make room on it and start again; nothing is lost.`;
    case 'unreachable':
      return `${file} cannot be read or written just now (${code}). Look at the disk and at who else has the file open, then start again.`;
    case null:
      return null;
  }
}

function wordsOfServer(url: string, fault: unknown): string | null {
  const { code } = fault as { code?: unknown };
  const place = URL.canParse(url) ? new URL(url) : null;
  const where = `PostgreSQL at ${place?.host ?? 'the address in DATABASE_URL'}`;
  if (code === '28P01' || code === '28000') {
    return `${where} does not let this user in. Look at the name and the password in DATABASE_URL.`;
  }
  if (code === '3D000') {
    return `${where} has no database ${place?.pathname.slice(1) ?? ''}. Make it with createdb, or set another DATABASE_URL.`;
  }
  switch (outageOf(fault)) {
    case 'full':
      return `${where} has no room left on its disk. Make room and start again; nothing is lost.`;
    case 'damaged':
      return `${where} says that its records are damaged. Restore a backup made with pg_dump.`;
    case 'unreachable':
      return `${where} cannot be reached. Start it, or look at the host and port in DATABASE_URL, then start again.`;
    case null:
      return null;
  }
}
