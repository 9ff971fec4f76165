import { bearingOffset, bearingStiffness, standingSides, upliftResistance } from '../viaduct/bearings.js';
import type { BearingPlace, Support, Viaduct } from '../viaduct/model.js';
import { solveDeadLoad, supportPositions } from './dead-load.js';
import type { BearingLine, DeadLoadState } from './dead-load-state.js';
import { findMechanism, type Mechanism } from './mechanism.js';

export interface ReleasedDeadLoad {
  /** Support ids whose bearings lifted, with the deck end at a joint and the side of two bearings. */
  readonly lifted: readonly ({ readonly support: string } & BearingPlace)[];
  readonly mechanism: Mechanism | null;
  /** Null when releasing them leaves a mechanism, or when no set of bearings was found that only push. */
  readonly state: DeadLoadState | null;
}

/**
 * Releases bearings that dead load pulls off, the largest pull first, closing again any gap that would turn negative, until
 * no bearing pulls more than its resistance or nothing holds the deck any more. Given up after so many rounds: the deck does not stay on
 * all its bearings, which is what decides, and what it would come to rest on is left open.
 */
export function releaseLiftedBearings(viaduct: Viaduct, rounds = roundsFor(viaduct)): ReleasedDeadLoad {
  const lifted = new Map<string, Lifted>();
  const positions = supportPositions(viaduct);
  for (let round = 0; round < rounds; round++) {
    const current = withLifted(viaduct, [...lifted.values()]);
    const mechanism = findMechanism(current);
    if (mechanism) return { lifted: named(viaduct, lifted), mechanism, state: null };
    const state = solveDeadLoad(current);
    const closing = [...lifted].find(([, place]) => {
      const { support, end } = place;
      const from = support === 0 || end === 'right' ? 'right' : 'left';
      const y = bearingOffset(viaduct.supports[support]!, place.side);
      const head = headOf(viaduct.supports[support]!, state, place);
      return state.deflectionAt(positions[support]!, from, y) > head + 1e-9;
    });
    if (closing) {
      lifted.delete(closing[0]);
      continue;
    }
    const tolerance = 1e-6 * state.totalReaction;
    let worst: BearingLine | null = null;
    for (const line of state.bearings) {
      const excess = -line.reaction - upliftResistance(viaduct.supports[line.support]!, line);
      if (excess > tolerance && (!worst || line.reaction < worst.reaction)) worst = line;
    }
    if (!worst) return { lifted: named(viaduct, lifted), mechanism: null, state };
    const { support, end, side } = worst;
    lifted.set(`${support}/${end}/${side}`, { support, end, side });
  }
  return { lifted: named(viaduct, lifted), mechanism: null, state: null };
}

/** Each bearing opens and closes a few times at most. */
function roundsFor({ supports }: Viaduct): number {
  return 8 * supports.length * (supports.some(({ bearingSpread }) => bearingSpread) ? 2 : 1);
}

function named({ supports }: Viaduct, lifted: ReadonlyMap<string, Lifted>): ReleasedDeadLoad['lifted'] {
  return [...lifted.values()].map(({ support, end, side }) => ({
    support: supports[support]!.id,
    end,
    side,
  }));
}

type Lifted = Pick<BearingLine, 'support' | 'end' | 'side'>;

/** Where the head of a support lies under a bearing that has lifted: what presses there are the other bearings of its side. */
function headOf(support: Support, state: DeadLoadState, { support: index, side }: Lifted): number {
  const compression = state.bearings.reduce(
    (sum, line) => (line.support === index && line.side === side ? sum + line.reaction : sum),
    0,
  );
  const stiffness = bearingStiffness(support);
  return support.settlement + state.feet[index]! + (Number.isFinite(stiffness) ? compression / stiffness : 0);
}

function withLifted(viaduct: Viaduct, lifted: readonly Lifted[]): Viaduct {
  const supports = viaduct.supports.map((support, index): Support => {
    const places = lifted.filter((line) => line.support === index);
    if (places.length === 0) return support;
    const without: Support = { ...support, lifted: places.map(({ end, side }) => ({ end, side })) };
    const ends = places[0]!.end === 'only' ? (['only'] as const) : (['left', 'right'] as const);
    const stands = ends.some((end) => standingSides(without, end).length > 0);
    return stands ? without : { ...support, bearing: false };
  });
  return { ...viaduct, supports };
}
