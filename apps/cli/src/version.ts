import manifest from '../package.json' with { type: 'json' };

/** The version of the command line, which is that of the whole project. */
export const version: string = manifest.version;
