import { plural } from './plural.ts';

/** The workshop. */
export const workshopWords = {
  workshop: {
    title: 'Workshop',
    lede: 'Journals in and out, kits, units, and what this device keeps.',
    bring: 'Bring in a journal',
    bringHint:
      'A journal file: a copy kept earlier, or from another device. It is merged with what is here: what is already here is left as it is, so nothing is written twice and nothing is lost.',
    bringFile: 'Journal file',
    brought: (added: number, known: number) =>
      `${added} ${plural(added, 'entry', 'entries')} brought in${known > 0 ? `; ${known} ${plural(known, 'was', 'were')} here already` : ''}.`,
    broughtNothing: 'No entry was brought in.',
    faults: (count: number) =>
      `${count} ${plural(count, 'thing is', 'things are')} wrong with the file. Mend it and bring it in again; the rest is safe.`,
    clash: (id: string) =>
      `Entry ${id}: the journal here says something else under this id and was left as it is. Entries never change; write a correction as an entry of its own.`,
    unreadable: (why: string) => `The file could not be read: ${why}`,
    send: 'Send out the journal',
    sendHint:
      'Everything you wrote, in one file that this and other programs can read. Keep a copy somewhere else now and then.',
    sendWhat: 'Which tanks',
    sendAll: 'all of them',
    sendAct: 'Send out',
    sent: (count: number, file: string) =>
      `${count} ${plural(count, 'entry', 'entries')} sent out as ${file}.`,
    kits: 'Kits',
    kitsFor: 'Kits of',
    kitsNone: 'No kit is known for this tank yet.',
    kitAdd: 'Add a kit',
    kitPreset: 'Start from',
    kitOwn: 'an empty page',
    kitAnalyte: 'It measures',
    kitAs: 'Its number counts',
    kitSteps: 'Steps on its card',
    kitStepsHint: 'rising numbers with spaces between; leave empty for a photometer or probe',
    kitResolution: 'Smallest step it shows',
    kitName: 'Called',
    kitWrite: 'Write the kit down',
    kitWritten: (name: string) => `Written down: ${name}.`,
    kitStepsBad: 'Steps must be at least two rising numbers, such as 0 0.25 0.5 1 2.',
    kitNoTank: 'Open a tank first: kits belong to a tank’s journal.',
    units: 'Units and paper',
    volume: 'Volume',
    litres: 'litres',
    gallons: 'US gallons',
    temperature: 'Temperature',
    paper: 'Paper',
    papers: { device: 'as the device', light: 'light', dark: 'dark' },
    expectation: 'What a kit should show',
    expectations: {
      atOnce: 'said beside its card',
      after: 'said once you have chosen, so that it does not lead your eye',
    },
    device: 'This device',
    kept: (count: number) => `${count} ${plural(count, 'entry is', 'entries are')} kept on this device.`,
    persisted: 'The browser has promised not to clear them by itself.',
    persistAsk: 'Ask the browser never to clear them',
    persistNo: 'The browser may clear them when space runs short: send out the journal now and then.',
    putAway: (name: string) => `Put ${name} away`,
    takeOut: (name: string) => `Take ${name} out`,
    putAwayHint: 'A tank put away no longer stands in the Rounds of this device. Its journal stays.',
  },
};
