import { plural } from './plural.ts';

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
const uncapital = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

/** What if, what it said before, and what may hold it up. */
export const aheadWords = {
  whatIf: {
    title: 'What if …',
    lede: 'The same water, with one thing otherwise, drawn dotted beside the plan. Only what the model can follow exactly is asked; nothing is written down.',
    legend: 'Suppose',
    plan: 'nothing: the plan as it is',
    ideas: {
      dose: (level: string) => `another dose of ${level} mg/L as N now`,
      exchange: (percent: string) => `${percent} of the water changed now`,
      warmer: (by: string) => `${by} warmer from tomorrow on`,
      'no-culture': 'no culture had been added',
    },
    working: 'Following it …',
    leave: 'Leave it',
    failed: (why: string) => `It could not be followed: ${why}`,
    notHeld: 'The course is being reckoned; ask again in a moment.',
    ready: (window: string) => `Then ready ${window}.`,
    noReady: 'Then no ready date within the days looked ahead.',
    planned: (window: string) => `The plan says ${window}.`,
    same: 'It makes no difference to the ready date worth a day.',
    later: (days: string, band: string) => `That is ${days} later (nine times in ten ${band}).`,
    sooner: (days: string, band: string) => `That is ${days} sooner (nine times in ten ${band}).`,
    days: (n: string) => (n === '1' ? '1 day' : `${n} days`),
    bandDays: (from: string, to: string) => (from === to ? from : `${from} to ${to}`),
    difference: {
      later: (n: string) => `${n} later`,
      sooner: (n: string) => `${n} sooner`,
      none: 'no change',
    },
    little: (from: string, to: string) =>
      `As likely sooner as later: nine times in ten from ${from} to ${to}, in days.`,
    window: {
      between: (from: string, to: string) => `between ${from} and ${to}`,
      on: (day: string) => `about ${day}`,
      from: (from: string) => `not before ${from}`,
    },
    key: (idea: string) => `Dotted: if ${idea}.`,
  },
  lookBack: {
    title: 'What it said before',
    lede: 'The sheet as it stood on an earlier day, reckoned anew from what was written by then, under everything read since.',
    choose: 'As it stood on',
    none: 'choose a day',
    day: (day: number, date: string) => `day ${day}, ${date}`,
    working: 'Reckoning that day …',
    thatDay: 'that day',
    said: (date: string) => `On ${date} it said:`,
    score: (inside: number, all: number) =>
      all === 0
        ? 'Nothing has been read since.'
        : `Of ${all} ${plural(all, 'reading', 'readings')} since, ${inside} ${plural(inside, 'fits', 'fit')} the pale band, which is to hold nine in ten.`,
    deeds: (count: number) =>
      count === 0
        ? ''
        : `It could not know of the ${count} ${plural(count, 'deed', 'deeds')} done since, marked at the foot.`,
  },
  why: {
    title: 'What may hold it up',
    lede: 'Each explanation is put to the readings in place of what is usual; the likelier it makes them, the more it counts. It takes some seconds.',
    working: 'Weighing what it could be …',
    failed: (why: string) => `It could not be weighed: ${why}`,
    fact: (fact: string) => `${capital(fact)}.`,
    look: (look: string) => `To tell: ${uncapital(look)}.`,
    remedy: (remedy: string, never: string) =>
      never === '' ? `If so: ${remedy}.` : `If so: ${remedy}; not ${never}.`,
    rest: (chance: string, all: number) => `${chance}: something else of the ${all} looked at.`,
  },
};
