/** Text laid out in columns of a terminal. */

const wide =
  /^[\u1100-\u115f\u2e80-\ua4cf\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff00-\uff60\uffe0-\uffe6\u{1f300}-\u{1faff}\u{20000}-\u{3fffd}]$/u;
const mark = /^(?:\p{M}|[\u200b-\u200f]|\u2060)$/u;

/** Columns a text takes: wide East Asian characters two, combining marks none. Takes no escape codes. */
export function columnsOf(text: string): number {
  let columns = 0;
  for (const character of text) columns += mark.test(character) ? 0 : wide.test(character) ? 2 : 1;
  return columns;
}

/** A person's text made safe for a terminal: no control or direction characters, whitespace folded to one space. */
export function tame(text: string): string {
  return text
    .replace(/[\p{Zs}\s]+/gu, ' ')
    .replace(/[\p{Cc}\p{Cs}\u202a-\u202e\u2066-\u2069]/gu, '')
    .trim();
}

export const padEnd = (text: string, width: number): string =>
  text + ' '.repeat(Math.max(0, width - columnsOf(text)));

export const padStart = (text: string, width: number): string =>
  ' '.repeat(Math.max(0, width - columnsOf(text))) + text;

/** Shortens to a width, with a mark where something was left out. */
export function clip(text: string, width: number, more = '…'): string {
  if (columnsOf(text) <= width) return text;
  let kept = '';
  for (const character of text) {
    if (columnsOf(kept + character) > width - columnsOf(more)) break;
    kept += character;
  }
  return kept.trimEnd() + more;
}

/** Breaks a text into lines of at most `width` columns, at spaces; a longer word keeps a line of its own. */
export function wrap(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ').filter((each) => each !== '')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && columnsOf(longer) > width) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  if (line !== '') lines.push(line);
  return lines;
}

const spellings: Readonly<Record<string, string>> = {
  '–': '-',
  '—': '-',
  '−': '-',
  '·': '-',
  '±': '+/-',
  '×': 'x',
  '…': '...',
  '°': ' deg ',
  '≤': '<=',
  '≥': '>=',
  '→': '->',
  µ: 'u',
  '₂': '2',
  '₃': '3',
  '₄': '4',
  '²': '2',
  '³': '3',
  '’': "'",
  '‘': "'",
  '“': '"',
  '”': '"',
  '\u00a0': ' ',
};

/** The same text in ASCII alone, for terminals, printers and braille lines that know nothing more. */
export function asciiOf(text: string): string {
  return text
    .replace(/[^\p{ASCII}]/gu, (character) => spellings[character] ?? character.normalize('NFKD'))
    .replace(/\p{M}/gu, '')
    .replace(/[^\p{ASCII}]/gu, '?');
}
