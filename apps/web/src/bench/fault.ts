/** Something on a form that cannot be written down as it is; the message says what and how to mend it. */
export class Fault extends Error {}
