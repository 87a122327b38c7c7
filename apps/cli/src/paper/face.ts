import type { Io } from '../io.ts';
import { asciiOf, tame } from './text.ts';

/** Marks a sheet is drawn with. Every one has a plain counterpart, so that nothing is lost without Unicode. */
export interface Glyphs {
  readonly rule: string;
  readonly axis: string;
  readonly tick: string;
  readonly corner: string;
  readonly floor: string;
  readonly today: string;
  readonly hatch: string;
  readonly readingTop: string;
  readonly readingStem: string;
  readonly readingFoot: string;
  readonly readingPoint: string;
  readonly readingBeyond: string;
  readonly band: string;
  readonly line: string;
  readonly ahead: string;
  readonly bar: readonly string[];
  /** True where levels are drawn with eight dots a cell, false where with one character a cell. */
  readonly braille: boolean;
}

const unicode: Glyphs = {
  rule: '─',
  axis: '│',
  tick: '┤',
  corner: '└',
  floor: '─',
  today: '┊',
  hatch: '╱',
  readingTop: '┬',
  readingStem: '│',
  readingFoot: '┴',
  readingPoint: '┼',
  readingBeyond: '↑',
  band: '⠢⠔',
  line: '⠤⠤',
  ahead: '⠤ ',
  bar: ['', '▏', '▎', '▍', '▌', '▋', '▊', '▉', '█'],
  braille: true,
};

const plain: Glyphs = {
  rule: '-',
  axis: '|',
  tick: '|',
  corner: '+',
  floor: '-',
  today: '!',
  hatch: '/',
  readingTop: 'T',
  readingStem: 'I',
  readingFoot: 'L',
  readingPoint: 'X',
  readingBeyond: '^',
  band: '..',
  line: '**',
  ahead: 'oo',
  bar: ['', '='],
  braille: false,
};

export type Ink = 'body' | 'strong' | 'quiet' | 'accent' | 'hatch';

/** Select Graphic Rendition codes (ECMA-48) from the terminal's own sixteen colours, so that its theme decides. */
const codes: Readonly<Record<Ink, string>> = {
  body: '',
  strong: '1',
  quiet: '90',
  accent: '35',
  hatch: '2;35',
};

/** How to draw for one reader: how wide, with which marks, in colour or not. */
export interface Face {
  readonly width: number;
  readonly glyphs: Glyphs;
  readonly ink: (ink: Ink, text: string) => string;
  /** A person's text made safe to write, and spelled in ASCII where that is all there is. */
  readonly say: (text: string) => string;
  /** The whole page as it is written: as it is, or spelled in ASCII. */
  readonly spell: (text: string) => string;
}

const narrowest = 48;
const widest = 110;
/** Where there is no terminal to ask: the width paper and mail take. */
const customary = 80;

export function faceOf(io: Io, options: { plain?: boolean }): Face {
  const { env } = io;
  const dumb = env.TERM === 'dumb';
  const colour = io.outIsTerminal && !dumb && !options.plain && !env.NO_COLOR;
  const width = Math.min(widest, Math.max(narrowest, io.columns ?? customary));
  const ascii = options.plain || dumb;
  const spell = ascii ? asciiOf : (text: string): string => text;
  return {
    width,
    glyphs: ascii ? plain : unicode,
    say: (text) => spell(tame(text)),
    spell,
    ink: (ink, text) =>
      colour && codes[ink] !== '' && text !== '' ? `\u001b[${codes[ink]}m${text}\u001b[0m` : text,
  };
}
