import { plural } from './plural.ts';

const entries = (count: number) => `${count} ${plural(count, 'entry', 'entries')}`;

/** What stands at the foot of every place about the server, and above it where something is to be done. */
export const lineWords = {
  line: {
    agreed: (when: string, waiting: number) =>
      waiting === 0
        ? `In step with the server ${when}; nothing waits.`
        : `In step with the server ${when}; ${entries(waiting)} ${plural(waiting, 'waits', 'wait')}.`,
    never: 'Bringing device and server into step …',
    away: (waiting: number) =>
      waiting === 0
        ? 'The server cannot be reached just now.'
        : `The server cannot be reached just now; ${entries(waiting)} ${plural(waiting, 'waits', 'wait')} here and ${plural(waiting, 'goes', 'go')} when it can.`,
    guest: 'This is a shared server.',
    signIn: 'Sign in',
    signedOut: (waiting: number) =>
      waiting === 0
        ? 'You have been signed out here. What you write is kept on this device until you sign in again.'
        : `You have been signed out here. ${entries(waiting)} ${plural(waiting, 'is', 'are')} kept on this device until you sign in again.`,
    failed: (why: string) => `Device and server are not in step: ${why} It is tried again by itself.`,
    refused: {
      'not-allowed': (tank: string, count: number) =>
        `The server did not take ${entries(count)} of ${tank}: your part there is to read. They stay on this device; ask a keeper to write them, or for a keeper's part.`,
      'not-here': (tank: string, count: number) =>
        `The server did not take ${entries(count)} of ${tank}: it is not yours there. They stay on this device; ask a keeper for an invitation.`,
      unsound: (tank: string, count: number) =>
        `The server did not take ${entries(count)} of ${tank}: they are too large, not sound, or signed by someone else. They stay on this device; send out the journal in the Workshop to keep them.`,
    },
    onlyHere: (count: number) =>
      `${count} ${plural(count, 'tank is', 'tanks are')} on this device only: whether ${plural(count, 'it is', 'they are')} kept on the server too is said in the Workshop.`,
  },
};
