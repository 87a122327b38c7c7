import { lazily } from '../../format/lazily.ts';

import { plural } from './plural.ts';

const list = lazily(() => new Intl.ListFormat('en', { type: 'conjunction' }));

/** What stands on every place, and between them. */
export const commonWords = {
  brand: 'Brinewright',
  skip: 'Skip to the sheet',
  list: (parts: readonly string[]) => list().format(parts),
  nav: {
    label: 'Places',
    rounds: 'Rounds',
    bench: 'Bench',
    mixing: 'Mixing room',
    newTank: 'New tank',
    workshop: 'Workshop',
  },
  colophon:
    'Everything is kept and reckoned on this device. A forecast is a likelihood, never a promise: test before you trust.',
  standing: {
    opening: 'Opening the journal…',
    memory: (why: string) =>
      `This browser would not keep the journal (${why}). You can go on, but what you write is lost when this page closes: send out the journal from the Workshop before you do.`,
    broken: (why: string) => `The journal could not be opened: ${why}`,
  },
  fetching: 'Opening…',
  notFetched: 'This could not be fetched. With a network it is fetched once, then it works without.',
  lost: { title: 'Nothing is kept here', remedy: 'Go back to the Rounds' },
  ago: {
    now: 'just now',
    minutes: (n: number) => `${n} ${plural(n, 'minute', 'minutes')} ago`,
    hours: (n: number) => `${n} ${plural(n, 'hour', 'hours')} ago`,
    days: (n: number) => `${n} ${plural(n, 'day', 'days')} ago`,
  },
  mixing: {
    opening: 'Opening the mixing room…',
    failed: 'The mixing room could not be fetched. With a network it is fetched once, then it works without.',
    again: 'Try again',
  },
};
