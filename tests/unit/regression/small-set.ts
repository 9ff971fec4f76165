import { copyFileSync } from 'node:fs';
import { join } from 'node:path';
import { type RegressionFolder, regressionFolder } from '../../../worker/regression/regression-set.js';
import { scratchDirectory } from '../cli/scratch-directory.js';

/** A set of its own in a scratch folder: one that statics decide at once, without baseline. */
export function smallSet(): RegressionFolder & { readonly id: string } {
  const scratch = scratchDirectory();
  const id = 'dead-load-uplift';
  copyFileSync(join(regressionFolder().path, `${id}.json`), join(scratch.path, `${id}.json`));
  return { ...regressionFolder(scratch.path), id };
}
