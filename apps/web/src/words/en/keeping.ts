import { plural } from './plural.ts';

/** Copies, newer versions, labels. */
export const keepingWords = {
  backup: {
    nudge: (days: number | undefined) =>
      days === undefined
        ? 'No copy of this journal has been kept anywhere else yet.'
        : `The last copy kept elsewhere is ${days} ${plural(days, 'day', 'days')} old.`,
    act: 'Keep a copy',
    later: 'Not now',
    said: (file: string) => `Copied out as ${file}. Move it to another device or a drive.`,
    last: (when: string) => `The last copy was made ${when}.`,
    never: 'No copy has been made on this device yet.',
  },
  update: {
    ready: 'A newer version of Brinewright lies ready on this device.',
    act: 'Change to it now',
    safe: 'What you have typed stays.',
    check: 'Look for a newer version',
    checked: 'This is the newest version the server has.',
    offline: 'The server cannot be reached; try again with a network.',
  },
  label: {
    title: (name: string) => `Label for ${name}`,
    lede: 'Stick it where a phone reaches it: its camera opens this tank’s bench. Keep paper and tape off hot and electrical parts.',
    opening: 'Drawing the label…',
    failed: 'The label could not be fetched; load the page again.',
    print: 'Print',
    code: (name: string) => `Square code that opens the bench of ${name}`,
    only: 'It works on devices that hold this tank.',
    day0: (date: string) => `day 0: ${date}`,
  },
};
