/**
 * Fails where an import points the wrong way. Every source file's imports are read with a parser and held against
 * the table of arrows; a package is entered only through what its package.json exports; and the pure packages
 * touch no clock, no randomness, no file and no network.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { builtinModules } from 'node:module';
import { dirname, join, relative, resolve, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseSync, Visitor } from 'oxc-parser';

const scope = '@brinewright/';
const apps = ['counsel', 'evidence', 'journal', 'store', 'seawater'];

/** Left may import right, nothing else. */
const arrows: Readonly<Record<string, readonly string[]>> = {
  seawater: [],
  nitrogen: ['seawater'],
  journal: ['seawater'],
  evidence: ['nitrogen', 'seawater'],
  store: ['journal'],
  counsel: ['evidence', 'nitrogen', 'seawater', 'journal'],
  web: apps,
  server: apps,
  cli: apps,
};

/** Packages without a clock, randomness, file, network or page. */
const pure = new Set(['seawater', 'nitrogen', 'journal', 'evidence', 'counsel']);
/** Tests may also look at what lies above what they test, never at an app. */
const libraries = Object.keys(arrows).filter((name) => !['web', 'server', 'cli'].includes(name));

const impureNames = new Set([
  'performance',
  'fetch',
  'process',
  'setTimeout',
  'setInterval',
  'crypto',
  'navigator',
]);
const impureMembers = new Set(['Date.now', 'Math.random']);

export interface Place {
  /** Path from the checkout's root, with forward slashes. */
  readonly path: string;
  /** Package or app the file belongs to. */
  readonly owner: string;
  /** True in a test: more may be imported there. */
  readonly test: boolean;
}

export interface Manifest {
  /** Specifiers under which the package may be entered. */
  readonly entrances: ReadonlySet<string>;
  readonly dependencies: ReadonlySet<string>;
  readonly devDependencies: ReadonlySet<string>;
}

interface Reading {
  readonly imports: readonly string[];
  readonly impure: readonly string[];
}

/** What a file imports, in any form, and which impure names it uses that it does not declare itself. */
export function readSource(path: string, text: string): Reading {
  const { program, module, errors } = parseSync(path, text);
  if (errors.length > 0) throw new Error(`${path}: ${errors[0]?.message}`);
  const imports = [...module.staticImports.map((each) => each.moduleRequest.value)];
  for (const { entries } of module.staticExports)
    for (const { moduleRequest } of entries) if (moduleRequest) imports.push(moduleRequest.value);
  const used = new Set<string>();
  const declared = new Set<string>();
  const declare = (id: unknown): void => {
    for (const name of boundNames(id)) declared.add(name);
  };
  new Visitor({
    ImportExpression: (node) => {
      if (node.source.type === 'Literal') imports.push(String(node.source.value));
    },
    TSImportType: (node) => {
      imports.push(node.source.value);
    },
    MemberExpression: ({ object, property }) => {
      if (object.type !== 'Identifier') return;
      if (impureNames.has(object.name)) used.add(object.name);
      const name = property.type === 'Identifier' ? `${object.name}.${property.name}` : '';
      if (impureMembers.has(name)) used.add(name);
    },
    NewExpression: (node) => {
      const { callee } = node;
      if (callee.type === 'Identifier' && callee.name === 'Date' && node.arguments.length === 0)
        used.add('new Date()');
    },
    CallExpression: (node) => {
      if (node.callee.type === 'Identifier' && impureNames.has(node.callee.name)) used.add(node.callee.name);
    },
    VariableDeclarator: (node) => declare(node.id),
    FunctionDeclaration: (node) => {
      declare(node.id);
      node.params.forEach(declare);
    },
    FunctionExpression: (node) => node.params.forEach(declare),
    ArrowFunctionExpression: (node) => node.params.forEach(declare),
    ImportSpecifier: (node) => declare(node.local),
  }).visit(program);
  return { imports, impure: [...used].filter((name) => !declared.has(name)) };
}

/** Names a binding pattern introduces. */
function boundNames(pattern: unknown): string[] {
  if (typeof pattern !== 'object' || pattern === null) return [];
  if (Array.isArray(pattern)) return pattern.flatMap(boundNames);
  const node = pattern as Record<string, unknown>;
  if (node.type === 'Identifier') return [String(node.name)];
  return [node.left, node.argument, node.elements, node.properties, node.value, node.parameter].flatMap(
    boundNames,
  );
}

/** What is wrong with one import, or undefined. */
export function faultOf(
  place: Place,
  specifier: string,
  manifests: ReadonlyMap<string, Manifest>,
  shared: ReadonlySet<string> = new Set(),
): string | undefined {
  if (specifier.startsWith('.')) return relativeFault(place, specifier);
  if (specifier.startsWith(scope)) return packageFault(place, specifier, manifests);
  return outsideFault(place, specifier, manifests, shared);
}

function relativeFault(place: Place, specifier: string): string | undefined {
  const home = place.path.split('/').slice(0, 2).join('/');
  const target = relative(home, join(dirname(place.path), specifier))
    .split(sep)
    .join('/');
  if (target.startsWith('..')) return 'a relative path that leaves its package';
  if (!place.test && !target.startsWith('src/') && target !== 'package.json')
    return 'source that imports from outside src';
  return undefined;
}

function packageFault(
  place: Place,
  specifier: string,
  manifests: ReadonlyMap<string, Manifest>,
): string | undefined {
  const name = specifier.slice(scope.length).split('/')[0] ?? '';
  const target = manifests.get(name);
  if (!target) return `there is no package ${scope}${name}`;
  if (!target.entrances.has(specifier))
    return `deep import: ${scope}${name} exports ${[...target.entrances].join(', ')}`;
  const allowed = arrows[place.owner];
  if (!allowed) return `${place.owner} is not in the table of arrows`;
  if (name === place.owner || allowed.includes(name)) return undefined;
  if (place.test && libraries.includes(name)) return undefined;
  return `no arrow from ${place.owner} to ${name}`;
}

function outsideFault(
  place: Place,
  specifier: string,
  manifests: ReadonlyMap<string, Manifest>,
  shared: ReadonlySet<string>,
): string | undefined {
  const builtin = specifier.startsWith('node:') || builtinModules.includes(specifier);
  if (builtin) {
    if (place.test || !(pure.has(place.owner) || place.owner === 'web')) return undefined;
    return `${place.owner} must run in a page: no Node modules`;
  }
  const name = specifier
    .split('/')
    .slice(0, specifier.startsWith('@') ? 2 : 1)
    .join('/');
  const manifest = manifests.get(place.owner);
  if (manifest?.dependencies.has(name)) return undefined;
  if (place.test && (manifest?.devDependencies.has(name) || shared.has(name))) return undefined;
  return `${name} is not among the dependencies of ${place.owner}`;
}

const root = fileURLToPath(new URL('..', import.meta.url));
const readJson = (path: string): Record<string, unknown> =>
  JSON.parse(readFileSync(join(root, path), 'utf8'));
const keysOf = (value: unknown): Set<string> => new Set(Object.keys((value ?? {}) as object));

function readManifests(homes: readonly string[]): Map<string, Manifest> {
  return new Map(
    homes.map((home) => {
      const json = readJson(`${home}/package.json`);
      const name = String(json.name);
      const entrances = [...keysOf(json.exports)].map((entry) => name + entry.slice(1));
      const { dependencies, devDependencies } = json;
      return [
        name.slice(scope.length),
        {
          entrances: new Set(entrances),
          dependencies: keysOf(dependencies),
          devDependencies: keysOf(devDependencies),
        },
      ];
    }),
  );
}

/** Source and test files of one package. */
function filesOf(home: string): Place[] {
  const owner = home.split('/')[1] ?? '';
  const entries = readdirSync(join(root, home), { recursive: true, withFileTypes: true });
  return entries
    .filter((entry) => entry.isFile() && /[.]tsx?$/.test(entry.name))
    .map((entry) => relative(root, resolve(entry.parentPath, entry.name)).split(sep).join('/'))
    .filter((path) => !/\/(dist|node_modules)\//.test(path))
    .map((path) => ({ path, owner, test: !path.startsWith(`${home}/src/`) }));
}

function main(): void {
  const homes = ['packages', 'apps'].flatMap((group) =>
    readdirSync(join(root, group)).map((name) => `${group}/${name}`),
  );
  const manifests = readManifests(homes);
  const shared = keysOf(readJson('package.json').devDependencies);
  const places = homes.flatMap(filesOf);
  if (places.length === 0) throw new Error('read no file: is this a checkout?');
  let imports = 0;
  const faults = places.flatMap((place) => {
    const reading = readSource(place.path, readFileSync(join(root, place.path), 'utf8'));
    imports += reading.imports.length;
    const wrong = reading.imports.flatMap((specifier) => {
      const fault = faultOf(place, specifier, manifests, shared);
      return fault === undefined ? [] : [`${place.path}: imports ${specifier}: ${fault}`];
    });
    const impure = place.test || !pure.has(place.owner) ? [] : reading.impure;
    return [
      ...wrong,
      ...impure.map((name) => `${place.path}: uses ${name}: pass time, seed and data in instead`),
    ];
  });
  for (const fault of faults) console.error(fault);
  console.log(`${places.length} files and ${imports} imports read, ${faults.length} faults`);
  if (faults.length > 0) process.exitCode = 1;
}

if (process.argv[1]?.endsWith('check-arrows.ts')) main();
