import { plural } from './plural.ts';

/** A tank's sheet. */
export const tankWords = {
  tank: {
    lost: 'No such tank on this device',
    coming: 'On its way',
    comingLede: 'The server has this tank; its journal is being brought to this device.',
    lostRemedy:
      'It may live on another device: bring its journal in, in the Workshop, or choose another tank from the Rounds.',
    footing: (day: number, litres: string | undefined, window?: string) =>
      [`Day ${day} since the opening`, litres, window].filter(Boolean).join(' · '),
    litresUnknown: 'litres not stated',
    window: '9 in 10 such tanks are ready inside the window, 1 in 20 before it',
    toBench: 'Write something down',
    course: 'Course',
    ledger: 'Nitrogen ledger',
    journal: 'Journal',
    doubts: 'What does not fit',
    facts: 'Worth checking in the journal',
    table: 'The course in figures',
    reckoning: (said: string) => said,
    since: (when: string) => `Reckoned ${when}; what was written since is not in it yet.`,
    reckonedAt: (when: string) => `Reckoned ${when}.`,
    failed: (why: string) => `The course could not be reckoned: ${why} The journal itself is safe.`,
    again: 'Reckon again',
    leaveOff: 'Leave it',
    leftOff: 'Left off: nothing newer has been reckoned.',
    label: 'Print a label for this tank',
    crew: 'Crew',
    part: {
      mentor: 'You are a mentor of this tank: you read its journal, remark on it and propose orders.',
      reader: 'You are a reader of this tank: its keepers write in its journal.',
    },
    first: 'Reckoning where the water stands. The first time takes a little longer.',
    demonstration:
      'This is a demonstration: a teaching tank of an imagined coastal field station, with invented readings. Write in it as you like.',
    putAway: 'Put the demonstration away',
    nothing: 'No course yet',
    more: (count: number) => `Show the ${count} earlier ${plural(count, 'entry', 'entries')}`,
  },
  orders: {
    title: 'Orders',
    none: 'Nothing needs doing.',
    weighed: {
      before: 'These rest on the course before this one.',
      'in part': 'What may hold the tank up has not been weighed yet.',
    },
    now: 'Now',
    today: 'Today',
    meanwhile: 'For now',
    until: (day: string) => `Until ${day}`,
    notBefore: (day: string) => `Not before ${day}`,
    why: 'Why',
    care: 'Take care.',
    ask: (whom: string) => `In doubt, ask: ${whom}.`,
    sure: (tenths: number) => `What this rests on is so ${tenths} times in 10.`,
    holds: (reason: string, day: string) => `This stands while ${reason}; look again on ${day}.`,
    write: 'Write it down',
    writeOf: (order: string) => `Write down: ${order}`,
  },
  ledger: {
    unit: 'mg N',
    unitPerLitre: 'mg N per litre',
    put: (middle: string, low: string, high: string, unit: string) =>
      low === high
        ? `${middle} ${unit} put in or set free so far. It is now:`
        : `About ${middle} ${unit} put in or set free so far (nine times in ten ${low} to ${high}). It is now:`,
    caption: (unit: string) => `Where the nitrogen is, ${unit}`,
    place: 'Place',
    middle: 'Middle',
    band: 'Nine times in ten',
    amount: (middle: string, unit: string) => `${middle} ${unit}`,
    range: (low: string, high: string) => (low === high ? '' : `${low}–${high}`),
    short: (middle: string, low: string, high: string) =>
      low === high ? middle : `${middle} (${low}–${high})`,
    places: {
      food: 'in food and waste',
      ammonia: 'ammonia',
      nitrite: 'nitrite',
      nitrate: 'nitrate',
      bacteria: 'in bacteria',
      'taken out': 'taken out',
      'gas and algae': 'gas and algae',
    },
  },
};
