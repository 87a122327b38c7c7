import { aheadWords } from './ahead.ts';
import { benchWords } from './bench.ts';
import { chartWords } from './chart.ts';
import { commonWords } from './common.ts';
import { entryWords } from './entry.ts';
import { keepingWords } from './keeping.ts';
import { lineWords } from './line.ts';
import { newTankWords } from './new-tank.ts';
import { roundsWords } from './rounds.ts';
import { tankWords } from './tank.ts';
import { termsWords } from './terms.ts';
import { workshopWords } from './workshop.ts';

/** Every phrase of the first view, in English. Figures come in as text, already printed for the reader. */
export const en = {
  /** How this language writes a date: as its sentences do, wherever the reader is. */
  dates: 'en-GB',
  ...commonWords,
  ...termsWords,
  ...roundsWords,
  ...tankWords,
  ...chartWords,
  ...aheadWords,
  ...entryWords,
  ...benchWords,
  ...newTankWords,
  ...keepingWords,
  ...workshopWords,
  ...lineWords,
};
