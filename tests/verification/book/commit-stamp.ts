import { execFileSync } from 'node:child_process';
import { packageRoot } from '../../../worker/compiled-file.js';

/** The state of the sources that a book is about. */
export interface CommitStamp {
  readonly commit: string;
  /** ISO date of the commit; empty where there is none. */
  readonly date: string;
  /** Files differ from the commit: the book is not reproducible from it. */
  readonly modified: boolean;
}

/** What git says about the package's folder; "no commit" outside a repository. */
export function commitStamp(): CommitStamp {
  const git = (...words: readonly string[]) =>
    execFileSync('git', words, {
      cwd: packageRoot(),
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'ignore'],
    }).trim();
  try {
    return {
      commit: git('rev-parse', 'HEAD'),
      date: git('show', '-s', '--format=%cs', 'HEAD'),
      modified: git('status', '--porcelain') !== '',
    };
  } catch {
    return { commit: 'no commit', date: '', modified: true };
  }
}
