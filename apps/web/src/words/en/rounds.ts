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
    needsFirst: 'Needs you first',
    why: {
      untested: 'not tested yet',
      tested: (days: number) =>
        days === 0 ? 'tested less than a day ago' : `last tested ${days} ${plural(days, 'day', 'days')} ago`,
    },
    find: 'Find a tank',
    shown: 'Show',
    showing: {
      all: 'all of them',
      due: 'those with something due today',
      'on-the-way': 'those on their way',
      clear: 'those that are clear',
      'no-date': 'those with no date in sight',
    },
    first: 'First',
    firsts: {
      need: 'what needs you first',
      ready: 'what is ready first',
      untested: 'what was not tested longest',
      name: 'by name',
    },
    found: (count: number, all: number) =>
      count === all ? `${count} tanks` : count === 0 ? 'No tank like that' : `${count} of ${all} tanks`,
    notHere: 'its journal is on its way to this device',
    behind: 'being reckoned anew',
    notReckoned: 'not reckoned yet',
    axis: 'When each is ready',
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
