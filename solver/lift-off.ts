import { bearingOffset, bearingStiffness, standingSides, upliftResistance } from './bearings.js';
import { type BearingLine, type DeadLoadState, solveDeadLoad, supportPositions } from './dead-load.js';
import { findMechanism, type Mechanism } from './mechanism.js';
import type { BearingPlace, Support, Viaduct } from './model.js';

/** The lift-off iteration did not settle. */
export class LiftOffConvergenceError extends Error {
  constructor(iterations: number) {
    super(
      `lift-off of bearings did not settle within ${iterations} iterations; check supports and settlements`,
    );
    this.name = 'LiftOffConvergenceError';
  }
}

export interface ReleasedDeadLoad {
  /** Support ids whose bearings lifted, with the deck end at a joint and the side of two bearings. */
  readonly lifted: readonly ({ readonly support: string } & BearingPlace)[];
  readonly mechanism: Mechanism | null;
  /** Null when releasing them leaves a mechanism. */
  readonly state: DeadLoadState | null;
}

/**
 * Releases bearings that dead load pulls off, the largest pull first, closing again any gap that would turn negative, until
 * no bearing pulls more than its resistance or nothing holds the deck any more.
 *
 * @throws LiftOffConvergenceError
 */
export function releaseLiftedBearings(viaduct: Viaduct): ReleasedDeadLoad {
  const lifted = new Map<string, Lifted>();
  const limit = 8 * viaduct.supports.length * (viaduct.supports.some((one) => one.bearingSpread) ? 2 : 1);
  const positions = supportPositions(viaduct);
  for (let iteration = 0; iteration < limit; iteration++) {
    const current = withLifted(viaduct, [...lifted.values()]);
    const named = [...lifted.values()].map(({ support, end, side }) => ({
      support: viaduct.supports[support]!.id,
      end,
      side,
    }));
    const mechanism = findMechanism(current);
    if (mechanism) return { lifted: named, mechanism, state: null };
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
    const tolerance = 1e-6 * state.reactions.reduce((sum, value) => sum + Math.abs(value), 0);
    let worst: BearingLine | null = null;
    for (const line of state.bearings) {
      const excess = -line.reaction - upliftResistance(viaduct.supports[line.support]!, line);
      if (excess > tolerance && (!worst || line.reaction < worst.reaction)) worst = line;
    }
    if (!worst) return { lifted: named, mechanism: null, state };
    const { support, end, side } = worst;
    lifted.set(`${support}/${end}/${side}`, { support, end, side });
  }
  throw new LiftOffConvergenceError(limit);
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
