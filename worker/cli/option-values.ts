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
