import { conformanceCases } from '@brinewright/store/conformance';
import { memoryStore } from '@brinewright/store/memory';
import { describe, it } from 'vitest';

describe('journal store in memory', () => {
  for (const { name, run } of conformanceCases.filter(({ reopens }) => !reopens)) {
    it(name, () => run({ open: async () => memoryStore() }));
  }
});
