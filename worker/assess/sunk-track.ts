import type { AssessmentModel } from '../../scenarios/assessment-model.js';
import { holdRail } from '../../solver/held-track/held-track.js';
import { railSag } from '../../solver/held-track/track-sag.js';
import { lostBeyondDeck } from '../../solver/mesh/grid.js';
import { supportPositions } from '../../solver/statics/dead-load.js';
import {
  type RailInfluence,
  railInfluence,
  sunkUnderLoadModel,
  sunkUnderTrain,
} from '../../solver/statics/rail-influence.js';
import { characteristicLengthOfTrack } from '../../solver/viaduct/characteristic-length.js';
import type { Viaduct } from '../../solver/viaduct/model.js';
import type { SunkRail } from './level-defect.js';

/** Characteristic lengths: further away a load is felt by less than 0.2 % of what it does below itself (exp(-2 pi)). */
const wave = 2 * Math.PI;

/** The rail where fastenings and bedding are lost. */
export interface SunkTrack {
  /** Without a train. */
  readonly unloaded: SunkRail;
  /** Under the wheels of a train that stands at x, and under its own weight. */
  readonly under: (entry: AssessmentModel['trains'][number]) => SunkRail;
}

/** Null where they are as built. */
export function sunkTrack(damaged: Viaduct, intact: Viaduct): SunkTrack | null {
  if (!damaged.track?.losses.length) return null;
  const now = holdRail(damaged);
  const before = holdRail(intactAsFar(damaged, intact));
  const [sagNow, sagBefore] = [railSag(now), railSag(before)];
  const unloaded = (x: number) => sagNow(x) - sagBefore(x);
  const reach = wave * characteristicLengthOfTrack(damaged.track);
  const beyondDeck = reach + lostBeyondDeck(damaged.track, supportPositions(damaged).at(-1)!);
  const stretches = damaged.track.losses.map(({ from, to }) => ({ from: from - reach, to: to + reach }));
  let rails: { readonly now: RailInfluence; readonly before: RailInfluence } | null = null;
  return {
    unloaded: { depthAt: unloaded, beyondDeck },
    under(entry) {
      rails ??= { now: railInfluence(now, stretches), before: railInfluence(before, stretches) };
      const [loadedNow, loadedBefore] = [underLoad(rails.now, entry), underLoad(rails.before, entry)];
      return { depthAt: (x) => unloaded(x) + loadedNow(x) - loadedBefore(x), beyondDeck };
    },
  };
}

function underLoad(rail: RailInfluence, entry: AssessmentModel['trains'][number]): (x: number) => number {
  return entry.kind === 'moving' ? sunkUnderTrain(rail, entry.train) : sunkUnderLoadModel(rail, entry.model);
}

/** The intact track, modelled as far beyond the abutments as the damaged one. */
function intactAsFar(damaged: Viaduct, intact: Viaduct): Viaduct {
  if (!intact.track || !damaged.track) return intact;
  const losses = damaged.track.losses.map((loss) => ({ ...loss, fraction: 0 }));
  return { ...intact, track: { ...intact.track, losses } };
}
