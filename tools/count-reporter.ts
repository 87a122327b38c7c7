import { writeFileSync } from 'node:fs';
import type { Reporter, TestModule } from 'vitest/node';

/**
 * How many tests ended how, and which failed; a file that could not be loaded and an error outside any test count as
 * failures.
 */
export interface Counts {
  passed: number;
  failed: number;
  skipped: number;
  failures: string[];
}

/** Writes the counts of a run as JSON to the file that the variable BRINEWRIGHT_COUNTS names. */
export default class CountReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], unhandled: readonly unknown[]): void {
    const file = process.env.BRINEWRIGHT_COUNTS;
    if (file === undefined) return;
    const counts: Counts = { passed: 0, failed: unhandled.length, skipped: 0, failures: [] };
    for (const error of unhandled) counts.failures.push(`outside any test: ${firstLine(error)}`);
    for (const module of modules) {
      counts.failed += module.errors().length;
      for (const error of module.errors())
        counts.failures.push(`${module.relativeModuleId}: ${firstLine(error)}`);
      for (const test of module.children.allTests()) {
        const { state, errors } = test.result();
        counts[state === 'pending' ? 'skipped' : state] += 1;
        if (state === 'failed')
          counts.failures.push(`${module.relativeModuleId} > ${test.fullName}: ${firstLine(errors?.[0])}`);
      }
    }
    writeFileSync(file, JSON.stringify(counts));
  }
}

/** The first line of what an error says. */
const firstLine = (error: unknown): string =>
  String((error as { message?: unknown } | undefined)?.message ?? error).split('\n')[0]!;
