import { plural } from './plural.ts';

/** The rounds. */
export const roundsWords = {
  rounds: {
    title: (count: number) => plural(count, 'One tank on this device', `${count} tanks on this device`),
    titleNone: 'No tank on this device yet',
    lede: 'The one that needs you first stands first.',
    none: 'Open a new tank, or bring in a journal file that you or someone else sent out.',
    openNew: 'Open a new tank',
    bringIn: 'Bring in a journal',
    first: 'Needs you first',
    why: {
      untested: 'not tested yet',
      tested: (days: number) =>
        days === 0 ? 'tested less than a day ago' : `last tested ${days} ${plural(days, 'day', 'days')} ago`,
    },
    unnamed: 'Unnamed tank',
    windows: 'When each is ready',
    windowsLede:
      'Hatched from one in twenty to nineteen in twenty; the bar is the middle. An arrow runs past the days looked ahead.',
    window: {
      past: 'clear now',
      none: 'no date in sight',
    },
    waiting: (name: string) => `${name} has not been reckoned yet.`,
    toBench: 'Write something down',
    putAway: (count: number) =>
      `${count} ${plural(count, 'tank is', 'tanks are')} put away on this device; take ${plural(count, 'it', 'them')} out again in the Workshop.`,
  },
};
