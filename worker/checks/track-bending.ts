import type { TrackResistance } from '../../scenarios/assessment-model.js';
import { rowsOf } from '../../solver/rows/response-rows.js';
import { deadTrackMoments, spansHollow } from '../../solver/rows/track-moments.js';
import type { TrackLayer } from '../../solver/viaduct/model.js';
import type { BoundVariant } from '../assess/bound-variant.js';
import { movementUnderTrack } from '../assess/dead-load-change.js';
import {
  againstResistance,
  type Finding,
  nearer,
  type ObjectiveInput,
  type SafetyCheck,
  sharesOf,
  sideName,
  trackPlace,
  worse,
} from './check.js';
import { type MomentResistance, momentDemands, momentTerms, relievedMomentTerms } from './moment-terms.js';
import { entriesFor, type ObjectiveTerms, objectiveOf } from './objective-entries.js';

/**
 * Slab or rails: dead load, what following a moved deck asks of them, and the train with its own dynamics, against their resistance. A layer that
 * has to span a hollow needs its resistance as evidence; without one nothing is judged elsewhere.
 */
function trackBending(layer: TrackLayer): SafetyCheck {
  return {
    id: `${layer}-bending`,
    unit: 'kNm',
    objectives: (input) => {
      const resistance = resistanceOf(layer, input);
      const objective = (terms: (dead: number) => ObjectiveTerms) =>
        objectiveOf(
          entriesFor(input.rows, `${layer}-bending`, (_, index) => terms(deadMomentsOf(input)[index]!)),
        );
      return [
        objective((dead) => momentTerms(resistance, dead)),
        ...sharesOf(`${layer}-bending`, input).map((share) =>
          objective((dead) => relievedMomentTerms(resistance, dead, share)),
        ),
      ];
    },
    judge(input, missing) {
      const { track } = input.state.viaduct;
      if (!track || !(layer === 'rail' || track.slab)) return null;
      const resistance = resistanceOf(layer, input);
      if (spansHollow(track, layer)) for (const what of unknown(layer, resistance)) missing(what);
      let worst: Finding | null = null;
      let relieved = 0;
      for (const index of rowsOf(input.rows, `${layer}-bending`)) {
        const row = input.rows[index]!;
        const dead = deadMomentsOf(input)[index]!;
        const demands = momentDemands(dead, input.peaks.largest[index]!, input.peaks.smallest[index]!);
        for (const [which, demand] of demands) {
          const most = resistance[which];
          if (most === null) continue;
          const where = `${trackPlace(layer, row.x, input)}${sideName(row)}, ${which}`;
          const finding = againstResistance(input, demand, most, row.x, where);
          if (demand.dead + demand.train > 0) worst = worse(worst, finding);
          else relieved = Math.max(relieved, finding.nearness ?? 0);
        }
      }
      return nearer(worst, relieved);
    },
  };
}

export const slabBending: SafetyCheck = trackBending('slab');
export const railBending: SafetyCheck = trackBending('rail');

function resistanceOf(layer: TrackLayer, { state }: ObjectiveInput): MomentResistance {
  const {
    slabSagging = null,
    slabHogging = null,
    rail = null,
  }: Partial<TrackResistance> = state.damageCase.resistance?.track ?? {};
  return layer === 'rail' ? { sagging: rail, hogging: rail } : { sagging: slabSagging, hogging: slabHogging };
}

function unknown(layer: TrackLayer, { sagging, hogging }: MomentResistance): string[] {
  if (layer === 'rail') return sagging === null ? ['the bending resistance of the rails'] : [];
  if (sagging === null && hogging === null) return ['the bending resistance of the track slab'];
  return [
    ...(sagging === null ? ['the sagging resistance of the track slab'] : []),
    ...(hogging === null ? ['the hogging resistance of the track slab'] : []),
  ];
}

const known = new WeakMap<BoundVariant, Float64Array>();

/** The same for all speeds and trains. */
function deadMomentsOf({ state, variant, rows }: ObjectiveInput): Float64Array {
  let moments = known.get(variant);
  if (!moments) {
    const { change } = variant;
    moments = deadTrackMoments(variant.dynamics().mesh, rows, (track) =>
      change ? movementUnderTrack(change, state.viaduct, track) : () => 0,
    );
    known.set(variant, moments);
  }
  return moments;
}
