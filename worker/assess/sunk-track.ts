import type { AssessmentModel } from '../../scenarios/assessment-model.js';
import { spanLength } from '../../solver/grid.js';
import type { Viaduct } from '../../solver/model.js';
import {
  type RailInfluence,
  railInfluence,
  sunkUnderLoadModel,
  sunkUnderTrain,
  waveOnFoundation,
} from '../../solver/rail-influence.js';
import { railSag } from '../../solver/track-sag.js';
import type { SunkRail } from './level-defect.js';

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
  const asBuilt = intactAsFar(damaged, intact);
  const now = railSag(damaged);
  const before = railSag(asBuilt);
  const unloaded = (x: number) => now(x) - before(x);
  const reach = waveOnFoundation(damaged.track);
  const length = damaged.spans.reduce((sum, span) => sum + spanLength(span), 0);
  const beyondDeck =
    reach + damaged.track.losses.reduce((most, { from, to }) => Math.max(most, -from, to - length), 0);
  const stretches = damaged.track.losses.map(({ from, to }) => ({ from: from - reach, to: to + reach }));
  let rails: { readonly now: RailInfluence; readonly before: RailInfluence } | null = null;
  return {
    unloaded: { depthAt: unloaded, beyondDeck },
    under(entry) {
      rails ??= { now: railInfluence(damaged, stretches), before: railInfluence(asBuilt, stretches) };
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
