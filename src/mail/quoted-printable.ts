// RFC 2045 section 6.7: a line has 76 characters at the most, its soft line break's "=" included.
const LINE = 76;
// So far back from its end a line is rather broken behind a space or a mark, as nodemailer does it.
const MARGIN = Math.floor(LINE / 3);
const [TAB, LF, CR, SPACE, EQUALS] = [0x09, 0x0a, 0x0d, 0x20, 0x3d];
const HEX = Buffer.from('0123456789ABCDEF');

/** 1 for every byte that stands for itself, unless it is white space that ends a line. */
const LITERAL = new Uint8Array(256);
for (const byte of [TAB, LF, CR]) LITERAL[byte] = 1;
for (let byte = SPACE; byte <= 0x7e; byte++) LITERAL[byte] = byte === EQUALS ? 0 : 1;
const BREAKS = new Uint8Array(256);
for (const mark of ' \t.,!?') BREAKS[mark.charCodeAt(0)] = 1;

/**
 * A text in quoted-printable encoding (RFC 2045, 6.7), the very bytes that nodemailer's `wrap(encode(text))`
 * makes of it, in one pass over bytes where that cuts and joins strings: a letter's HTML is its largest part.
 */
export function quotedPrintable(text: string): Buffer {
  const quoted = encoded(Buffer.from(text));
  return quoted.length <= LINE ? quoted : wrapped(quoted);
}

function encoded(bytes: Buffer): Buffer {
  const out = Buffer.allocUnsafe(bytes.length * 3);
  let end = 0;
  for (let i = 0; i < bytes.length; i++) {
    const byte = bytes[i] ?? 0;
    if (LITERAL[byte] === 1 && !((byte === SPACE || byte === TAB) && endsLine(bytes[i + 1]))) {
      out[end++] = byte;
      continue;
    }
    out[end++] = EQUALS;
    out[end++] = HEX[byte >> 4] ?? 0;
    out[end++] = HEX[byte & 15] ?? 0;
  }
  return out.subarray(0, end);
}

function endsLine(next: number | undefined): boolean {
  return next === undefined || next === LF || next === CR;
}

function wrapped(quoted: Buffer): Buffer {
  // No line but the last and those that end by themselves is shorter than half of what it may be.
  const out = Buffer.allocUnsafe(quoted.length + 3 * Math.ceil(quoted.length / 25) + 3);
  let length = 0;
  let nextLf = -1;
  for (let start = 0; start < quoted.length;) {
    if (nextLf < start) {
      const found = quoted.indexOf(LF, start);
      nextLf = found === -1 ? quoted.length : found;
    }
    const most = Math.min(start + LINE, quoted.length);
    const hard = nextLf < most ? hardEnd(quoted, start, most) : null;
    let end = hard ?? softEnd(quoted, start, most);
    const broken = hard === null && end < quoted.length && quoted[end - 1] !== LF;
    if (broken && end - start === LINE) end -= isEscape(quoted, start, end) ? 3 : 1;
    length += quoted.copy(out, length, start, end);
    if (broken) {
      out[length++] = EQUALS;
      out[length++] = CR;
      out[length++] = LF;
    }
    start = end;
  }
  return out.subarray(0, length);
}

/** Where a line ends that has a line break of its own in it; null where nodemailer leaves that one alone. */
function hardEnd(quoted: Buffer, start: number, most: number): number | null {
  let last = -1;
  for (let i = start; i < most; i++) {
    if (quoted[i] !== LF) continue;
    if (i > start && quoted[i - 1] === CR) return i + 1;
    last = i;
  }
  if (last === most - 1) return most;
  if (last < most - MARGIN) return null;
  for (let i = last + 1; i < most; i++) if (quoted[i] === CR) return null;
  return last + 1;
}

/** Where a line ends that has to be broken, or is the last. */
function softEnd(quoted: Buffer, start: number, most: number): number {
  const behind = most - start > LINE - MARGIN ? behindMark(quoted, most) : null;
  if (behind !== null) return behind;
  return escapeAt(quoted, start, most) === null ? most : outsideEscapes(quoted, start, most);
}

/** Behind the last space or mark of the margin; null where there is none. */
function behindMark(quoted: Buffer, most: number): number | null {
  for (let i = most - 1; i >= most - MARGIN; i--) if (BREAKS[quoted[i] ?? 0] === 1) return i + 1;
  return null;
}

/** Where the "=XX", or what of it has room, begins with which a line ends; null where it ends with none. */
function escapeAt(quoted: Buffer, start: number, end: number): number | null {
  for (let i = end - 1; i >= Math.max(start, end - 3); i--) {
    if (quoted[i] === EQUALS) return i;
    if (!isHex(quoted[i])) return null;
  }
  return null;
}

/** An end before an escape that has not room, and before a character of UTF-8 that has not. */
function outsideEscapes(quoted: Buffer, start: number, most: number): number {
  const last = escapeAt(quoted, start, most) ?? most;
  let end = most - last < 3 ? last : most;
  while (end < quoted.length && isEscape(quoted, start, end)) {
    const code = Number.parseInt(quoted.toString('latin1', end - 2, end), 16);
    if (code < 0x80) break;
    end -= 3;
    if (code >= 0xc0) break;
  }
  return end;
}

function isEscape(quoted: Buffer, start: number, end: number): boolean {
  return end - start >= 3 && quoted[end - 3] === EQUALS && escapeAt(quoted, start, end) === end - 3;
}

function isHex(byte: number | undefined): boolean {
  return byte !== undefined && HEX.includes(byte);
}
