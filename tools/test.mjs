/**
 * Everything a reviewer would run, in order, each with a heading and its time. A failing step does not hide the
 * ones after it. `npm test` runs all; `npm test -- types unit` runs the named ones.
 */
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ensureChromium } from './support/debian.mjs';
import { ensureInstalled } from './support/install.mjs';
import { root } from './support/root.mjs';
import { run } from './support/run.mjs';

const scratch = mkdtempSync(join(tmpdir(), 'brinewright-test-'));
const totals = { passed: 0, failed: 0, skipped: 0 };
const failures = [];

const sources = ['packages', 'apps']
  .flatMap((group) => readdirSync(join(root, group)).map((name) => `${group}/${name}/src`))
  .filter((folder) => existsSync(join(root, folder)));

const promiseRules = ['no-floating-promises', 'no-misused-promises'].flatMap((rule) => [
  '-D',
  `typescript/${rule}`,
]);

/**
 * Runs vitest with our reporter beside its own and adds its counts to the totals. CI is set so that a missing
 * golden is a failure and not written on the way.
 */
async function vitest(name, args, env = {}) {
  const counts = join(scratch, `${name}.json`);
  const reporters = ['--reporter=default', '--reporter=./tools/count-reporter.ts'];
  const code = await run('vitest', ['run', ...reporters, ...args], {
    env: { ...env, BRINEWRIGHT_COUNTS: counts, CI: '1' },
  });
  if (!existsSync(counts)) {
    totals.failed += 1;
    failures.push(`${name}: the run ended before it could count its tests`);
    console.log(`${name}: the run ended before it could count its tests.`);
    return code || 1;
  }
  const seen = JSON.parse(readFileSync(counts, 'utf8'));
  for (const key of Object.keys(totals)) totals[key] += seen[key];
  failures.push(...seen.failures);
  return code;
}

const steps = [
  { name: 'types', title: 'Types', go: () => run('tsc', ['-b', '--force']) },
  { name: 'test-types', title: 'Types of the tests', go: () => run('tsc', ['-p', 'tsconfig.test.json']) },
  { name: 'lint', title: 'Format and lint', go: () => run('biome', ['check', '--max-diagnostics=50']) },
  {
    name: 'promises',
    title: 'Promises awaited',
    go: () => run('oxlint', ['--type-aware', '-A', 'all', ...promiseRules, ...sources]),
  },
  { name: 'arrows', title: 'Arrows between packages', go: () => run('tsx', ['tools/check-arrows.ts']) },
  { name: 'words', title: 'Words that stay out', go: () => run('tsx', ['tools/check-words.ts']) },
  { name: 'unused', title: 'Exports nobody imports', go: () => run('knip', []) },
  {
    name: 'unit',
    title: 'Unit, property and scenario tests',
    go: () => vitest('unit', []),
  },
  { name: 'web', title: 'Page build', go: () => run('vite', ['build', 'apps/web']) },
  {
    name: 'browser',
    title: 'Pages in a browser',
    async go() {
      const CHROMIUM = await ensureChromium();
      return vitest('browser', ['--config', 'tools/vitest.browser.config.ts'], { CHROMIUM });
    },
  },
];

function chosen(names) {
  const unknown = names.filter((name) => !steps.some((step) => step.name === name));
  if (unknown.length === 0)
    return names.length === 0 ? steps : steps.filter((step) => names.includes(step.name));
  console.error(`No step ${unknown.join(', ')}; there are ${steps.map((step) => step.name).join(', ')}.`);
  process.exit(2);
}

async function runStep(step) {
  console.log(`\n── ${step.title} ${'─'.repeat(Math.max(3, 72 - step.title.length))}`);
  const began = performance.now();
  const code = await step.go().catch((error) => {
    console.error(error.message);
    return 1;
  });
  const seconds = (performance.now() - began) / 1000;
  console.log(`${step.title}: ${code === 0 ? 'passed' : 'FAILED'} in ${seconds.toFixed(1)} s`);
  return { step, code, seconds };
}

async function main() {
  const wanted = chosen(process.argv.slice(2));
  await ensureInstalled();
  const results = [];
  for (const step of wanted) {
    const result = await runStep(step);
    results.push(result);
    if (result.code === 130) break;
  }
  console.log('\n── Summary ────────────────────────────────────────────────────────────────');
  for (const { step, code, seconds } of results)
    console.log(`${code === 0 ? 'passed' : 'FAILED'}  ${seconds.toFixed(1).padStart(7)} s  ${step.title}`);
  for (const step of wanted.slice(results.length)) console.log(`not run            ${step.title}`);
  const good = results.length === wanted.length && results.every(({ code }) => code === 0);
  if (!good) process.exitCode = 1;
}

process.on('SIGINT', () => {});
await main()
  .catch((error) => {
    console.error(error.message);
    process.exitCode = 1;
  })
  .finally(() => rmSync(scratch, { recursive: true, force: true }));
for (const failure of failures) console.log(`failed: ${failure}`);
console.log(`Tests: ${totals.passed} passed, ${totals.failed} failed, ${totals.skipped} skipped`);
