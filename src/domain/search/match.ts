/** What a search looks into: a car by what it is, or the person who has it. */
export interface Searched {
  readonly registration: string;
  readonly ownerName: string;
  readonly phone?: string | null;
  readonly email?: string | null;
  readonly postcode?: string | null;
  readonly make?: string | null;
  readonly model?: string | null;
}

// Fewer digits stand in half of all telephone numbers, one letter in half of all postcodes.
const FEWEST_DIGITS = 4;
const SHORTEST_POSTCODE = 2;

/**
 * Makes the test for what somebody typed: part of a registration, blanks left out of both, of a name,
 * of make and model, or of a mail address where an @ was typed; the digits of a telephone number however they are spaced,
 * four at least, a zero before them or a country's code left out; or what a postcode begins with.
 * Case does not matter, nor do accents ("muller" and "mueller" both find "Müller"). Every character
 * stands for itself; there are no wildcards. Null for blanks alone: they find nothing.
 */
export function searchFor(typed: string): ((car: Searched) => boolean) | null {
  const name = bare(typed).replace(/\s+/g, ' ').trim();
  const packed = name.replaceAll(' ', '');
  if (packed === '') return null;
  const digits = /^[+\d\s()/.-]+$/.test(typed) ? digitsOf(typed).replace(/^0+/, '') : '';
  return (car) => {
    if (bare(car.registration).replace(/\s+/g, '').includes(packed)) return true;
    if (digits.length >= FEWEST_DIGITS && hasDigits(digitsOf(car.phone ?? ''), digits)) return true;
    if (packed.includes('@') && (car.email ?? '').toLowerCase().includes(packed)) return true;
    if (packed.length >= SHORTEST_POSTCODE && squeezed(car.postcode).startsWith(packed))
      return true;
    const called = [car.make, car.model].filter((word) => (word ?? '') !== '').join(' ');
    return [car.ownerName, called].some((words) => {
      const blanked = words.replace(/\s+/g, ' ');
      return bare(blanked).includes(name) || bare(spelledOut(blanked)).includes(name);
    });
  };
}

/** A number with its country's code is the same as without, where seven digits agree. */
function hasDigits(number: string, typed: string): boolean {
  if (number.includes(typed)) return true;
  const own = number.replace(/^0+/, '');
  return own.length >= 7 && typed.endsWith(own);
}

function digitsOf(text: string): string {
  return text.replace(/\D/g, '');
}

function squeezed(text: string | null | undefined): string {
  return bare(text ?? '').replace(/\s+/g, '');
}

/** Small letters without accents; letters that no accent can be taken from are spelled plainly. */
function bare(text: string): string {
  return text
    .normalize('NFKD')
    .toLowerCase()
    .replace(/\p{M}/gu, '')
    .replace(/[ßøæœłđðþıς]/g, (letter) => PLAIN[letter] ?? letter);
}

/** Umlauts as typists without such keys write them. */
function spelledOut(text: string): string {
  return text
    .normalize('NFC')
    .toLowerCase()
    .replace(/[äöüåø]/g, (letter) => SPELLED[letter] ?? letter);
}

const PLAIN: Readonly<Record<string, string>> = {
  ß: 'ss',
  ø: 'o',
  æ: 'ae',
  œ: 'oe',
  ł: 'l',
  đ: 'd',
  ð: 'd',
  þ: 'th',
  ı: 'i',
  ς: 'σ',
};

const SPELLED: Readonly<Record<string, string>> = {
  ä: 'ae',
  ö: 'oe',
  ü: 'ue',
  å: 'aa',
  ø: 'oe',
};
