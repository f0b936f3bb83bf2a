import type { Entry, ZipFile } from 'yauzl';
import { fromBuffer } from 'yauzl';
import { Refused } from '../../domain/refusal.ts';
import { MOST_FILES_IN_ZIP, MOST_UNPACKED } from './grid.ts';

/**
 * Unpacks the files of a package whose names are wanted. What comes out is counted as it comes, not as
 * the package says, and the whole is refused as soon as it is more than a table can be.
 */
export async function unpack(
  bytes: Buffer,
  isWanted: (name: string) => boolean,
): Promise<Map<string, Uint8Array>> {
  const zip = await opened(bytes);
  try {
    if (zip.entryCount > MOST_FILES_IN_ZIP) throw tooLarge();
    const files = new Map<string, Uint8Array>();
    let left = MOST_UNPACKED;
    for await (const entry of entriesOf(zip)) {
      if (!isWanted(entry.fileName)) continue;
      const file = await contentOf(zip, entry, left);
      left -= file.length;
      files.set(entry.fileName, file);
    }
    return files;
  } finally {
    zip.close();
  }
}

function opened(bytes: Buffer): Promise<ZipFile> {
  return new Promise((resolve, reject) => {
    fromBuffer(bytes, { lazyEntries: true, validateEntrySizes: true }, (fault, zip) => {
      if (fault) reject(broken());
      else resolve(zip);
    });
  });
}

async function* entriesOf(zip: ZipFile): AsyncGenerator<Entry> {
  for (;;) {
    const entry = await nextEntry(zip);
    if (entry === null) return;
    yield entry;
  }
}

function nextEntry(zip: ZipFile): Promise<Entry | null> {
  return new Promise((resolve, reject) => {
    const done = (work: () => void) => {
      zip.removeAllListeners();
      work();
    };
    zip.once('entry', (entry) => done(() => resolve(entry)));
    zip.once('end', () => done(() => resolve(null)));
    zip.once('error', () => done(() => reject(broken())));
    zip.readEntry();
  });
}

function contentOf(zip: ZipFile, entry: Entry, most: number): Promise<Uint8Array> {
  return new Promise((resolve, reject) => {
    if (entry.isEncrypted()) {
      reject(refused('The workbook is locked with a password. Save it without one.'));
      return;
    }
    zip.openReadStream(entry, (fault, stream) => {
      if (fault) {
        reject(broken());
        return;
      }
      const parts: Buffer[] = [];
      let size = 0;
      stream.on('data', (part: Buffer) => {
        size += part.length;
        if (size <= most) parts.push(part);
        else {
          stream.destroy();
          reject(tooLarge());
        }
      });
      stream.once('error', () => reject(broken()));
      stream.once('end', () => resolve(Buffer.concat(parts)));
    });
  });
}

function tooLarge(): Refused {
  return refused(
    `Unpacked, the workbook is larger than ${MOST_UNPACKED / 1e6} MB. Hand in the table alone, as CSV.`,
  );
}

function broken(): Refused {
  return refused('The workbook is damaged. Save it anew, as XLSX or CSV, and try again.');
}

function refused(detail: string): Refused {
  return new Refused({ kind: 'conflict', detail });
}
