/** An isolated defect of longitudinal level. */
export interface LevelDefect {
  /** m, largest departure from a chord of the track over the wavelengths of longitudinal level. */
  readonly departure: number;
  /** m, beyond the ends of the deck too. */
  readonly at: number;
}

/** m: the ends of the range D1 of EN 13848-5 (mem). A chord of the longest wave sees every shorter one. */
const chords = [3, 5, 10, 15, 20, 25];
const longestChord = Math.max(...chords);
/** m, of the track beyond the abutments. */
const spacing = 0.5;

/**
 * The worst defect of any track.
 *
 * @param x ascending from 0 to the end of the deck; a support may come twice, as the end of one deck and the beginning of the next
 * @param decks how far the deck has gone down at x, under each track
 * @param sunk where the rail lies further below its place on deck or ground than before; nowhere, unless given
 */
export function levelDefect(
  x: Float64Array,
  decks: readonly Float64Array[],
  sunk: SunkRail | null = null,
): LevelDefect {
  return decks
    .map((deck) => {
      const profile = beyondAbutments(x, deck, longestChord + (sunk?.beyondDeck ?? 0));
      return worstChordDeparture(sunk ? withSunkTrack(profile, sunk.depthAt) : profile);
    })
    .reduce((a, b) => (b.departure > a.departure ? b : a));
}

/** By how much more than before the rail lies below its place. */
export interface SunkRail {
  /** m at any x. */
  readonly depthAt: (x: number) => number;
  /** m: how far beyond the ends of the deck. */
  readonly beyondDeck: number;
}

interface Profile {
  readonly x: readonly number[];
  readonly level: readonly number[];
}

/** The unmoved ground beyond the abutments, as far as asked for. */
function beyondAbutments(x: Float64Array, deck: Float64Array, reach: number): Profile {
  const length = x[x.length - 1]!;
  const outside: number[] = [];
  for (let at = spacing; at <= reach; at += spacing) outside.push(at);
  const before = outside.map((at) => -at).reverse();
  const after = outside.map((at) => length + at);
  return {
    x: [...before, 0, ...x, length, ...after],
    level: [...before.map(() => 0), 0, ...deck, 0, ...after.map(() => 0)],
  };
}

/** One more point between any two, since the track may sink within less than the deck bends. */
function withSunkTrack({ x, level }: Profile, depthAt: SunkRail['depthAt']): Profile {
  const finer: { x: number[]; level: number[] } = { x: [], level: [] };
  const add = (at: number, deck: number) => {
    finer.x.push(at);
    finer.level.push(deck + depthAt(at));
  };
  x.forEach((at, i) => {
    add(at, level[i]!);
    const next = x[i + 1];
    if (next !== undefined && next > at) add((at + next) / 2, (level[i]! + level[i + 1]!) / 2);
  });
  return finer;
}

/**
 * Largest distance of the profile from a straight line between two of its points that are one chord apart. A step shows with its
 * full height; a long settlement trough with the part that wheels feel within the chord. Linear between points.
 */
function worstChordDeparture({ x, level }: Profile): LevelDefect {
  let departure = 0;
  let at = 0;
  const judge = (start: number, end: number): void => {
    const slope = (level[end]! - level[start]!) / (x[end]! - x[start]!);
    for (let i = start + 1; i < end; i++) {
      const away = Math.abs(level[i]! - level[start]! - slope * (x[i]! - x[start]!));
      if (away > departure) {
        departure = away;
        at = x[i]!;
      }
    }
  };
  for (const chord of chords) {
    const reaches = (start: number, end: number): boolean => x[end]! - x[start]! >= chord - 1e-9;
    let end = 0;
    for (let start = 0; start < x.length; start++) {
      while (end < x.length && !reaches(start, end)) end++;
      if (end === x.length) break;
      judge(start, end);
    }
    // Points are not a chord apart to the millimetre: seen from the other end the next one that is may be another.
    let start = x.length - 1;
    for (let end = x.length - 1; end >= 0; end--) {
      while (start >= 0 && !reaches(start, end)) start--;
      if (start < 0) break;
      judge(start, end);
    }
  }
  return { departure, at };
}
