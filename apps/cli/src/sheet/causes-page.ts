import type { Cause } from '@brinewright/counsel';
import type { Face } from '../paper/face.ts';
import { padStart, wrap } from '../paper/text.ts';
import { instantOf, percent } from '../paper/words.ts';
import { heading } from './parts.ts';

const margin = 7;
/** Explanations less likely than this, and more than so many, are counted together. */
const leastShown = 0.03;
const shownAtMost = 6;

/** Explanations for a person: the chance in front, what it is, and under it what speaks for it, what would tell and what to do. */
export function causesPage(causes: readonly Cause[], name: string, asOf: number, face: Face): string {
  const shown = causes.filter(({ probability }) => probability >= leastShown).slice(0, shownAtMost);
  const left = 1 - shown.reduce((sum, { probability }) => sum + probability, 0);
  const page = [
    heading(face, face.say(name), instantOf(asOf)),
    'What is seen may come from this:',
    ...shown.map((cause) => causeLines(cause, face).join('\n')),
    `${padStart(percent(left), margin - 2)}  something else of the ${causes.length} looked at`,
  ];
  return face.spell(`${page.join('\n\n')}\n`);
}

function causeLines({ name, probability, fact, advice }: Cause, face: Face): string[] {
  const chance = face.ink('strong', `${padStart(percent(probability), margin - 2)}  `);
  const said = wrap(face.say(name), face.width - margin);
  const below = [
    ...(fact === undefined ? [] : [`${capital(fact)}.`]),
    ...(advice === null
      ? []
      : [
          `To tell: ${uncapital(advice.look)}.`,
          `If so: ${advice.remedy}${advice.never === '' ? '' : `; not ${advice.never}`}. [${advice.source}]`,
        ]),
  ];
  return [
    ...said.map((line, index) => `${index === 0 ? chance : ' '.repeat(margin)}${line}`),
    ...below.flatMap((text) =>
      wrap(face.say(text), face.width - margin).map((line) =>
        face.ink('quiet', `${' '.repeat(margin)}${line}`),
      ),
    ),
  ];
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
const uncapital = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);
