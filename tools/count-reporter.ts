import { writeFileSync } from 'node:fs';
import type { Reporter, TestModule } from 'vitest/node';

/** How many tests ended how; a file that could not be loaded and an error outside any test count as failures. */
export interface Counts {
  passed: number;
  failed: number;
  skipped: number;
}

/** Writes the counts of a run as JSON to the file that the variable BRINEWRIGHT_COUNTS names. */
export default class CountReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], unhandled: readonly unknown[]): void {
    const file = process.env.BRINEWRIGHT_COUNTS;
    if (file === undefined) return;
    const counts: Counts = { passed: 0, failed: unhandled.length, skipped: 0 };
    for (const module of modules) {
      counts.failed += module.errors().length;
      for (const test of module.children.allTests()) {
        const { state } = test.result();
        counts[state === 'pending' ? 'skipped' : state] += 1;
      }
    }
    writeFileSync(file, JSON.stringify(counts));
  }
}
