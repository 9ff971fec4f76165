import { metresPerSecond } from '../../scenarios/speed-units.js';
import { quasiStaticPeaks } from '../../solver/passage/passage.js';
import { buildTrainTables, type Direction } from '../../solver/passage/train-tables.js';
import { ObjectiveIndex } from '../../solver/peaks/objective.js';
import { type Peaks, together } from '../../solver/peaks/peaks.js';
import type { Consist } from '../../solver/vehicle/consist.js';
import { ContactConvergenceError } from '../../solver/vehicle/contact-convergence-error.js';
import {
  type CoupledPassageOptions,
  creepingRide,
  runCoupledPassage,
} from '../../solver/vehicle/coupled-passage.js';
import type { CoupledSystem } from '../../solver/vehicle/coupled-system.js';
import { lineCompliance } from '../../solver/vehicle/line-compliance.js';
import { railAlignment } from '../../solver/vehicle/rail-alignment.js';
import { buildRowInfluence } from '../../solver/vehicle/row-influence.js';
import { profileMargin } from '../../solver/vehicle/run-up.js';
import { buildRunningLine, type TrackProfile } from '../../solver/vehicle/running-line.js';
import { bothProfiles, irregularityProfile } from '../../solver/vehicle/track-irregularity.js';
import { buildVehicleSystem } from '../../solver/vehicle/vehicle-system.js';
import type { MovingTrain } from '../../solver/viaduct/model.js';
import { allPass } from '../checks/check.js';
import type { BoundVariant } from './bound-variant.js';
import type { CaseState } from './case-state.js';
import { withoutComfort } from './comfort.js';
import { changeAt } from './dead-load-change.js';
import { deckEndQuantities, prepareDeckEnds } from './deck-end-outcome.js';
import { type RideOutcome, rideOutcome, rideQuantities, worseRide } from './ride-outcome.js';
import {
  judgeAll,
  type MissingEvidence,
  objectivesOf,
  type PreparedTrain,
  type TrainOverCase,
} from './speed-sample.js';
import { sweptQuantities } from './swept-quantities.js';

interface Passage {
  readonly peaks: Peaks;
  /** Null where the wheel forces of a creeping train did not settle; the peaks do not depend on them. */
  readonly ride: RideOutcome | null;
}

/**
 * Prepares the passages of a train of vehicles over one case, coupled with the structure, in both directions and for every bound
 * variant. The wheels run over the scenario's irregularity and, after damage, over the rail as the moved deck leaves it. At speed 0 the structure feels the static wheel loads and the vehicles creep.
 */
export function prepareVehicleTrain(
  over: TrainOverCase,
  consist: Consist,
  train: MovingTrain,
): PreparedTrain {
  const { model, state, levelOf, missing } = over;
  const system = buildVehicleSystem(consist);
  const highest = metresPerSecond(model.speedsKmh[model.speedsKmh.length - 1]!);
  const margin = profileMargin(system, highest, train.positions[train.positions.length - 1]!);
  const irregularity = model.irregularity && irregularityProfile(model.irregularity.rail);
  const prepared = state.variants.map((variant) => {
    const dynamics = variant.dynamics();
    const modes = variant.lineModes();
    const compliance = lineCompliance(dynamics, modes, consist);
    const profile = bothProfiles(damagedAlignment(state, variant), irregularity);
    const one = (direction: Direction) => {
      const line = buildRunningLine(dynamics, modes, compliance, direction, profile, margin);
      return prepareDirection({ model: dynamics, line, consist, system }, train, direction);
    };
    return {
      variant,
      forward: one('forward'),
      reverse: one('reverse'),
      objectives: new ObjectiveIndex(objectivesOf(model, state, variant), dynamics.rows.length),
      level: levelOf(variant),
      deckEnds: prepareDeckEnds(state, variant, dynamics, train, () =>
        together(
          quasiStaticPeaks(dynamics, buildTrainTables(dynamics, train, 'forward')),
          quasiStaticPeaks(dynamics, buildTrainTables(dynamics, train, 'reverse')),
        ),
      ),
    };
  });
  const run = (
    { forward, reverse }: (typeof prepared)[number],
    speedKmh: number,
    objectives?: ObjectiveIndex,
  ): Passage => {
    const there = forward(metresPerSecond(speedKmh), objectives && { objectives });
    // What one direction has reached, the other need not look for.
    const back = reverse(
      metresPerSecond(speedKmh),
      objectives && { objectives, atLeast: objectives.reached(there.peaks) },
    );
    const ride = there.ride && back.ride && worseRide(there.ride, back.ride);
    return { peaks: together(there.peaks, back.peaks), ride };
  };
  return {
    sampleAt(speedKmh) {
      const passages = unlessUnsettled(() => prepared.map((one) => run(one, speedKmh, one.objectives)));
      if (!passages) {
        reportUnsettled(missing, speedKmh);
        return null;
      }
      const deckEnds = prepared.map((one, index) => one.deckEnds(passages[index]!.peaks));
      const seen = prepared.map(({ level }, index) => ({
        ...passages[index]!,
        deckEnds: deckEnds[index]!,
        level,
      }));
      const findings = judgeAll(over, seen, speedKmh);
      const { peaks, ride } = passages[0]!;
      const { rows } = prepared[0]!.variant.dynamics();
      const quantities = {
        ...sweptQuantities(rows, peaks),
        ...deckEndQuantities(model, deckEnds[0]!),
        ...(ride ? rideQuantities(ride) : {}),
      };
      const sample = { speedKmh, findings, quantities, deckEnds: deckEnds[0]! };
      // A line that is closed for another reason needs no wheel forces to stay closed.
      if (passages.some((one) => !one.ride) && allPass(withoutComfort(model, sample).findings.values()))
        reportUnsettled(missing, speedKmh);
      return sample;
    },
    peaksAt: (speedKmh) => run(prepared[0]!, speedKmh).peaks,
  };
}

/** Null where the wheel forces of some time step did not settle: one train at one speed goes without, nothing else is lost. */
function unlessUnsettled<T>(compute: () => T): T | null {
  try {
    return compute();
  } catch (error) {
    if (error instanceof ContactConvergenceError) return null;
    throw error;
  }
}

function reportUnsettled(missing: MissingEvidence, speedKmh: number): void {
  const pace = speedKmh === 0 ? 'walking pace' : `${Math.round(10 * speedKmh) / 10} km/h`;
  const what = `the wheel unloading at ${pace}, where the wheel forces computed did not settle`;
  missing.set('wheel-unloading', (missing.get('wheel-unloading') ?? new Set()).add(what));
}

/** Where the unloaded rail lies after damage; how it yields under the wheels is a matter of the passage. */
function damagedAlignment({ sunkTrack }: CaseState, variant: BoundVariant): TrackProfile | null {
  const { change } = variant;
  if (!change) return null;
  const onDeck = railAlignment(variant.dynamics(), (x, side) => changeAt(change, x, side));
  if (!sunkTrack) return onDeck;
  return { ...onDeck, levelAt: (x) => onDeck.levelAt(x) + sunkTrack.unloaded.depthAt(x) };
}

function prepareDirection(
  coupled: CoupledSystem,
  train: MovingTrain,
  direction: Direction,
): (speed: number, options?: CoupledPassageOptions) => Passage {
  const { model, line, consist } = coupled;
  const influences = buildRowInfluence(model, consist, direction);
  return (speed, options) => {
    if (speed === 0) {
      const ride = unlessUnsettled(() => creepingRide(coupled));
      return {
        peaks: quasiStaticPeaks(model, buildTrainTables(model, train, direction)),
        ride: ride && rideOutcome(consist, ride, line.xAt),
      };
    }
    const { peaks, ride } = runCoupledPassage(coupled, influences, speed, options);
    return { peaks, ride: rideOutcome(consist, ride, line.xAt) };
  };
}
