import { describe, expect, it } from 'vitest';
import { faultOf, type Manifest, type Place, readSource } from '../check-arrows.ts';

const manifest = (name: string, dependencies: string[] = [], subpaths: string[] = []): [string, Manifest] => [
  name,
  {
    entrances: new Set([`@brinewright/${name}`, ...subpaths.map((path) => `@brinewright/${name}/${path}`)]),
    dependencies: new Set(dependencies),
    devDependencies: new Set(['odex']),
  },
];

const manifests = new Map([
  manifest('seawater'),
  manifest('nitrogen'),
  manifest('journal', ['zod']),
  manifest('counsel'),
  manifest('store', [], ['sqlite']),
  manifest('web'),
  manifest('cli', ['commander']),
]);

const source = (owner: string, path = `packages/${owner}/src/a/b.ts`): Place => ({
  owner,
  path,
  test: false,
});
const test = (owner: string): Place => ({ owner, path: `packages/${owner}/test/b.test.ts`, test: true });

describe('imports a file names', () => {
  it.each([
    ['import', "import { a } from '@brinewright/seawater';"],
    ['type import', "import type { A } from '@brinewright/seawater';"],
    ['re-export', "export * from '@brinewright/seawater';"],
    ['dynamic import', "const a = await import('@brinewright/seawater');"],
    ['import type expression', "type A = import('@brinewright/seawater').A;"],
  ])('sees an %s', (_form, text) => {
    expect(readSource('a.ts', text).imports).toEqual(['@brinewright/seawater']);
  });

  it('refuses to pass a file it cannot parse', () => {
    expect(() => readSource('a.ts', 'const = ;')).toThrow('a.ts');
  });
});

describe('arrows', () => {
  it.each([
    ['nitrogen may use seawater', source('nitrogen'), '@brinewright/seawater'],
    ['an app may enter a listed subpath', source('cli', 'apps/cli/src/a.ts'), '@brinewright/store/sqlite'],
    ['a package may use its own files', source('journal'), '../fold/c.ts'],
    ['a package may use its dependencies, by subpath too', source('journal'), 'zod/mini'],
    ['a test may look at what lies above', test('nitrogen'), '@brinewright/counsel'],
    ['a test may use a development dependency', test('nitrogen'), 'odex'],
    ['a command-line file may use Node', source('cli', 'apps/cli/src/a.ts'), 'node:fs'],
  ])('%s', (_name, place, specifier) => {
    expect(faultOf(place, specifier, manifests)).toBeUndefined();
  });

  it.each([
    ['up', source('seawater'), '@brinewright/nitrogen', 'no arrow from seawater to nitrogen'],
    ['sideways', source('counsel'), '@brinewright/store', 'no arrow from counsel to store'],
    ['between apps', source('cli', 'apps/cli/src/a.ts'), '@brinewright/web', 'no arrow from cli to web'],
    ['deep', source('counsel'), '@brinewright/journal/src/fold/facts.ts', 'deep import'],
    ['out of the package', source('counsel'), '../../../journal/src/index.ts', 'leaves its package'],
    ['to test code', source('counsel'), '../../test/help.ts', 'outside src'],
    ['to nowhere', source('counsel'), '@brinewright/nothing', 'no package'],
    ['to Node from the pure core', source('nitrogen'), 'node:fs', 'no Node modules'],
    ['to an undeclared dependency', source('nitrogen'), 'zod/mini', 'zod is not among the dependencies'],
    ['to a development dependency from source', source('nitrogen'), 'odex', 'odex is not among'],
  ])('refuses an import that goes %s', (_name, place, specifier, why) => {
    expect(faultOf(place, specifier, manifests)).toContain(why);
  });
});

describe('purity', () => {
  it.each([
    ['the clock', 'const t = Date.now();', 'Date.now'],
    ['today', 'const t = new Date();', 'new Date()'],
    ['randomness', 'const x = Math.random();', 'Math.random'],
    ['a stopwatch', 'const t = performance.now();', 'performance'],
    ['the network', "fetch('x');", 'fetch'],
    ['the environment', 'const e = process.env;', 'process'],
    ['a timer', 'setTimeout(() => {}, 1);', 'setTimeout'],
  ])('finds %s', (_name, text, name) => {
    expect(readSource('a.ts', text).impure).toEqual([name]);
  });

  it.each([
    ['a date made from a given instant', 'const t = new Date(0);'],
    ['a parameter with the same name', 'export const run = (process: { rate: number }) => process.rate;'],
    ['a variable taken from a structure', 'export const f = ({ a: fetch }: { a(): void }) => fetch();'],
    ['an import with the same name', "import { performance } from './a.ts'; performance.of(1);"],
    [
      'a field with the same name',
      'export const f = (model: { process: { rate: 1 } }) => model.process.rate;',
    ],
  ])('leaves %s alone', (_name, text) => {
    expect(readSource('a.ts', text).impure).toEqual([]);
  });
});
