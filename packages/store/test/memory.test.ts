import { arrivalCases, conformanceCases } from '@brinewright/store/conformance';
import { memoryStore } from '@brinewright/store/memory';
import { describe, it, vi } from 'vitest';

// A busy machine may take its time to force things to the disk.
vi.setConfig({ testTimeout: 60_000 });

describe('journal store in memory', () => {
  for (const { name, run } of [...conformanceCases.filter(({ reopens }) => !reopens), ...arrivalCases]) {
    it(name, () => run({ open: async () => memoryStore() }));
  }
});
