/**
 * Compiles the particle kernel (packages/nitrogen/wasm) and writes its bytes as a module. The module is committed, so
 * that nothing has to be built before the first run; a test compiles it again and compares. Needed only after a change
 * to the kernel: `node tools/build-kernel.mjs`.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { root } from './support/root.mjs';

const source = 'packages/nitrogen/wasm/kernel.ts';
export const kernelModule = 'packages/nitrogen/src/batch/bytes.ts';

/** Warning about vectors in a function's signature: none of ours is called from outside. */
const vectorsExchanged = '112';

/** Compiles the kernel; the bytes depend on the sources and the compiler's version alone. */
export async function compileKernel() {
  const asc = await import('assemblyscript/asc');
  let bytes;
  const { error, stderr } = await asc.main(
    [
      source,
      ...['--outFile', 'kernel.wasm', '--runtime', 'stub', '--enable', 'simd', '--noAssert'],
      ...['--optimizeLevel', '3', '--shrinkLevel', '0', '--converge', '--disableWarning', vectorsExchanged],
    ],
    {
      writeFile: (_name, contents) => {
        bytes = contents;
      },
    },
  );
  if (error) throw new Error(`${source} does not compile: ${stderr.toString()}`);
  return bytes;
}

/** The module that carries the bytes. */
export async function kernelText() {
  const text = Buffer.from(await compileKernel()).toString('base64');
  return `/** The kernel in packages/nitrogen/wasm, compiled by tools/build-kernel.mjs; change that, not this file. */
export const kernelBytes =
  '${text}';
`;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href)
  writeFileSync(join(root, kernelModule), await kernelText());
