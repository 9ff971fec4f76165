import { InvalidArgumentError } from 'commander';

/** Threads of `--threads`: more than a machine has would only wait for each other, but the caller may know better. */
const mostThreads = 256;

/** @throws InvalidArgumentError, which commander prints beside the option's name. */
export function parseThreads(text: string): number {
  const threads = Number(text);
  if (!/^\d+$/.test(text) || threads < 1 || threads > mostThreads)
    throw new InvalidArgumentError(`A whole number from 1 to ${mostThreads} is accepted.`);
  return threads;
}

/** For an option that may be given several times. */
export function collect(value: string, previous: readonly string[]): readonly string[] {
  return [...previous, value];
}

/**
 * A folder as given on the command line.
 *
 * @throws InvalidArgumentError for an empty text: what a shell makes of a variable that is not set.
 */
export function parseFolder(text: string): string {
  if (text.trim() === '') throw new InvalidArgumentError('A folder is accepted; "." is the present one.');
  return text;
}
