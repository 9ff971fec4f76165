import { runCommandLine } from '../../../worker/cli/program.js';

/** Runs the command line in this process, with the Redis at the URL. */
export async function runCommand(words: readonly string[], url: string) {
  const said = { stdout: '', stderr: '' };
  const stream = (name: keyof typeof said) => ({
    write: (text: string, done?: () => void) => {
      said[name] += text;
      done?.();
      return true;
    },
  });
  const terminal = { stdout: stream('stdout'), stderr: stream('stderr'), environment: { REDIS_URL: url } };
  return { code: await runCommandLine(words, terminal), ...said };
}
