/** What a search looks into: a car by its registration, or the person who has it. */
export interface Searched {
  readonly registration: string;
  readonly ownerName: string;
}

/**
 * Makes the test for what somebody typed: part of a registration, blanks left out of both, or part
 * of a name. Case does not matter, nor do accents ("muller" and "mueller" both find "Müller").
 * Every character stands for itself; there are no wildcards. Null for blanks alone: they find nothing.
 */
export function searchFor(typed: string): ((car: Searched) => boolean) | null {
  const name = bare(typed).replace(/\s+/g, ' ').trim();
  const registration = name.replaceAll(' ', '');
  if (registration === '') return null;
  return (car) => {
    if (bare(car.registration).replace(/\s+/g, '').includes(registration)) return true;
    const blanked = car.ownerName.replace(/\s+/g, ' ');
    return bare(blanked).includes(name) || bare(spelledOut(blanked)).includes(name);
  };
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
