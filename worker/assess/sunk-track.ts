import type { AssessmentModel } from '../../scenarios/assessment-model.js';
import type { Viaduct } from '../../solver/model.js';
import {
  type RailInfluence,
  railInfluence,
  sunkUnderLoadModel,
  sunkUnderTrain,
  waveOnFoundation,
} from '../../solver/rail-influence.js';
import { railSag } from '../../solver/track-sag.js';

/** By how much more than before the rail lies below its place on the deck where fastenings and bedding are lost: m at any x. */
export interface SunkTrack {
  /** Without a train. */
  readonly unloaded: (x: number) => number;
  /** Under the wheels of a train that stands at x, its own weight included. */
  readonly under: (entry: AssessmentModel['trains'][number]) => (x: number) => number;
}

/** Null where they are as built. */
export function sunkTrack(damaged: Viaduct, intact: Viaduct): SunkTrack | null {
  if (!damaged.track?.losses.length) return null;
  const now = railSag(damaged);
  const before = railSag(intact);
  const unloaded = (x: number) => now(x) - before(x);
  const reach = waveOnFoundation(damaged.track);
  const stretches = damaged.track.losses.map(({ from, to }) => ({ from: from - reach, to: to + reach }));
  let rails: { readonly now: RailInfluence; readonly before: RailInfluence } | null = null;
  return {
    unloaded,
    under(entry) {
      rails ??= { now: railInfluence(damaged, stretches), before: railInfluence(intact, stretches) };
      const [loadedNow, loadedBefore] = [underLoad(rails.now, entry), underLoad(rails.before, entry)];
      return (x) => unloaded(x) + loadedNow(x) - loadedBefore(x);
    },
  };
}

function underLoad(rail: RailInfluence, entry: AssessmentModel['trains'][number]): (x: number) => number {
  return entry.kind === 'moving' ? sunkUnderTrain(rail, entry.train) : sunkUnderLoadModel(rail, entry.model);
}
