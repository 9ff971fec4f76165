import { nearestKey } from './guess-key.js';

/** The accepted word that was probably meant: the nearest in spelling, else the only one that has all words of what was written. */
export function nearestWord(unknown: string, accepted: readonly string[]): string | null {
  const nearest = nearestKey(unknown, accepted);
  if (nearest !== null) return nearest;
  const written = partsOf(unknown);
  if (written.length === 0) return null;
  const [only, ...others] = accepted.filter((word) => {
    const parts = partsOf(word);
    return written.every((part) => parts.includes(part));
  });
  return only !== undefined && others.length === 0 ? only : null;
}

const partsOf = (word: string): readonly string[] =>
  word
    .toLowerCase()
    .split(/[^a-z0-9]+/)
    .filter((part) => part !== '');
