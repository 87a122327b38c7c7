import { describe, expect, it } from 'vitest';
import { faultsIn } from '../check-words.ts';

const slash = '/';

describe('words that stay out of the project', () => {
  it.each([
    ['a home folder', `open('${slash}home${slash}ana/tank.ndjson')`],
    ['a scratch folder', `const out = "${slash}tmp${slash}out";`],
    ['a folder outside the checkout', `from '..${slash}shared${slash}a'`],
    ['a download address in the lock', `"resolved": "https${':'}//example.org/a.tgz"`],
    ["a registry's address", `https://registry${'.'}example${'.'}org/a`],
  ])('finds %s', (_name, text) => {
    expect(faultsIn(`first line\n${text}`)).toEqual([expect.stringMatching(/^2: /)]);
  });

  it.each([
    ['a relative path', `import { a } from '..${slash}work${slash}a.ts';`],
    ['a path inside the project', 'packages/journal/src/fold/home/a.ts'],
    ['a route of the server', "app.get('/tanks/:id')"],
    ['a link', 'https://doi.org/10.1016/0304-4203(79)90015-3'],
  ])('leaves %s alone', (_name, text) => {
    expect(faultsIn(text)).toEqual([]);
  });
});
