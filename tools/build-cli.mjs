/** Bundles the command line; runs after every install, so that `npx brinewright` works from a checkout. */
import { bundle, programs } from './support/bundle.mjs';

try {
  await bundle(programs.cli);
} catch (error) {
  // An install without development packages has no bundler: the checkout is still usable, so this is a note only.
  if (error.code !== 'ERR_MODULE_NOT_FOUND') throw error;
  console.log('The command line was not built: esbuild is not installed (npm ci --include=dev brings it).');
}
