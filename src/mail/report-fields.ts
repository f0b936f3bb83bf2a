/** The fields of one block, by lower-case name, in order of their appearance. */
export type FieldBlock = ReadonlyMap<string, readonly string[]>;

/** A field is cut here, in characters: whatever is worth reading comes sooner. */
const LONGEST_FIELD = 2000;

/**
 * Reads the blocks of header-like fields that RFC 3464 section 2.1 and RFC 5965 section 3 use:
 * folded lines are joined, names may have any case, blank lines part the blocks. Lines that are no
 * field are skipped: a report is read as far as it can be.
 */
export function readBlocks(text: string): FieldBlock[] {
  const blocks: Map<string, string[]>[] = [];
  let block: Map<string, string[]> | null = null;
  let values: string[] | null = null;
  for (const line of text.split(/\r\n|\r|\n/)) {
    if (line.trim() === '') {
      block = null;
      values = null;
    } else if (/^[ \t]/.test(line)) {
      const last = values?.pop();
      if (values && last !== undefined) values.push(cut(`${last} ${cut(line.trim())}`.trim()));
    } else {
      const match = /^([!-9;-~]+)[ \t]*:(.*)$/.exec(line);
      values = null;
      if (!match) continue;
      if (!block) blocks.push((block = new Map<string, string[]>()));
      const name = (match[1] ?? '').toLowerCase();
      values = block.get(name) ?? [];
      values.push(cut((match[2] ?? '').trim()));
      block.set(name, values);
    }
  }
  return blocks;
}

function cut(text: string): string {
  return text.length > LONGEST_FIELD ? text.slice(0, LONGEST_FIELD) : text;
}

/** The first value of a field, or null. */
export function fieldOf(block: FieldBlock | undefined, name: string): string | null {
  return block?.get(name)?.[0] ?? null;
}

/** `type; value` as in Final-Recipient and Diagnostic-Code; the type in lower case, or empty. */
export function typedValue(text: string): { type: string; value: string } {
  const match = /^\s*([A-Za-z0-9-]+)\s*(?:\([^)]*\)\s*)?;\s*(.*)$/s.exec(text);
  if (!match) return { type: '', value: text.trim() };
  return { type: (match[1] ?? '').toLowerCase(), value: (match[2] ?? '').trim() };
}

/** The mail address in a field value, without angle brackets; null where there is none. */
export function addressIn(text: string | null): string | null {
  if (text === null) return null;
  const { type, value } = typedValue(text);
  if (type !== '' && type !== 'rfc822' && type !== 'utf-8') return null;
  const bare = /^<([^<>]*)>/.exec(value)?.[1] ?? value.replace(/\s+\(.*\)$/s, '');
  return /^[^\s<>@,;:]+@[^\s<>@,;:]+$/.test(bare) && bare.length <= 320 ? bare : null;
}

/** The Message-ID in a field value, with its angle brackets; null where there is none. */
export function messageIdIn(text: string | null | undefined): string | null {
  return /<[^\s<>@]+@[^\s<>@]+>/.exec(text ?? '')?.[0] ?? null;
}
