import type { TrackResistance } from '../../scenarios/assessment-model.js';
import type { TrackLayer } from '../../solver/model.js';
import { rowsOf } from '../../solver/response-rows.js';
import { deadTrackMoments, spansHollow } from '../../solver/track-moments.js';
import type { BoundVariant } from '../assess/case-state.js';
import { changeAt } from '../assess/dead-load-change.js';
import { type Finding, type ObjectiveInput, type SafetyCheck, sideName, trackPlace, worse } from './check.js';
import { entriesFor, objectiveOf } from './objective-entries.js';

/**
 * Slab or rails where bedding or fastenings are lost: dead load plus train with its own dynamics, against their resistance. Elsewhere they
 * carry what they were built for. A layer that has to span a hollow needs its resistance as evidence.
 */
function trackBending(layer: TrackLayer): SafetyCheck {
  return {
    id: `${layer}-bending`,
    unit: 'kNm',
    objectives: (input) => {
      const { sagging, hogging } = resistanceOf(layer, input);
      return [
        objectiveOf(
          entriesFor(input.rows, `${layer}-bending`, (_, index) => {
            const dead = deadMomentsOf(input)[index]!;
            return [
              ...(sagging === null ? [] : [{ weight: 1 / sagging, offset: dead / sagging }]),
              ...(hogging === null ? [] : [{ weight: -1 / hogging, offset: -dead / hogging }]),
            ];
          }),
        ),
      ];
    },
    judge(input, missing) {
      const { track } = input.state.viaduct;
      if (!track || !(layer === 'rail' || track.slab) || track.losses.length === 0) return null;
      const resistance = resistanceOf(layer, input);
      if (spansHollow(track, layer)) for (const what of unknown(layer, resistance)) missing(what);
      const share = input.limit?.steps[0]?.value ?? 1;
      let worst: Finding | null = null;
      for (const index of rowsOf(input.rows, `${layer}-bending`)) {
        const row = input.rows[index]!;
        const dead = deadMomentsOf(input)[index]!;
        for (const [which, demand] of [
          ['sagging', dead + Math.max(0, input.peaks.largest[index]!)],
          ['hogging', -(dead + Math.min(0, input.peaks.smallest[index]!))],
        ] as const) {
          const most = resistance[which];
          if (most === null || demand <= 0) continue;
          worst = worse(worst, {
            value: demand / 1e3,
            limit: (share * most) / 1e3,
            utilisation: demand / (share * most),
            at: row.x,
            where: `${trackPlace(layer, row.x, input.state)}${sideName(row)}, ${which}`,
          });
        }
      }
      return worst;
    },
  };
}

export const slabBending: SafetyCheck = trackBending('slab');
export const railBending: SafetyCheck = trackBending('rail');

type Known = Readonly<Record<'sagging' | 'hogging', number | null>>;

function resistanceOf(layer: TrackLayer, { state }: ObjectiveInput): Known {
  const {
    slabSagging = null,
    slabHogging = null,
    rail = null,
  }: Partial<TrackResistance> = state.damageCase.resistance?.track ?? {};
  return layer === 'rail' ? { sagging: rail, hogging: rail } : { sagging: slabSagging, hogging: slabHogging };
}

function unknown(layer: TrackLayer, { sagging, hogging }: Known): string[] {
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
    const { change, viaduct } = state;
    moments = deadTrackMoments(variant.dynamics().mesh, rows, (track) => (x, side) => {
      const eccentricity = viaduct.tracks?.[track]?.eccentricity ?? 0;
      return change ? changeAt(change, x, side) + eccentricity * change.twistAt(x, side) : 0;
    });
    known.set(variant, moments);
  }
  return moments;
}
