import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

/** Tests that drive the built pages in a real browser: one at a time, since each starts its own. */
export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    include: ['apps/web/test/browser/**/*.test.{ts,tsx}'],
    env: { TZ: 'UTC' },
    fileParallelism: false,
    testTimeout: 60_000,
    hookTimeout: 60_000,
    // A slow machine takes its time; what never comes fails all the same.
    expect: { poll: { timeout: 30_000 } },
  },
});
