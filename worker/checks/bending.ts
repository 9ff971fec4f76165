import { supportPositions } from '../../solver/dead-load.js';
import { rowsOf } from '../../solver/response-rows.js';
import type { BoundVariant } from '../assess/bound-variant.js';
import {
  againstResistance,
  type Finding,
  type ObjectiveInput,
  type SafetyCheck,
  spanName,
  worse,
} from './check.js';
import { momentDemands, momentTerms } from './moment-terms.js';
import { addEntries, type ObjectiveEntry, objectiveOf } from './objective-entries.js';

/** Sagging and hogging, dead load plus train with its own dynamics, against the resistance of the span (over a support: of both). */
export const bending: SafetyCheck = {
  id: 'bending',
  unit: 'kNm',
  objectives(input) {
    const entries: ObjectiveEntry[] = [];
    for (const { row, dead, spans } of momentsOf(input).places) {
      for (const span of spans) {
        const { sagging = null, hogging = null } = input.state.damageCase.resistance?.spans[span] ?? {};
        addEntries(entries, row, momentTerms({ sagging, hogging }, dead));
      }
    }
    return [objectiveOf(entries)];
  },
  judge(input, missing) {
    const { places, scale } = momentsOf(input);
    let worst: Finding | null = null;
    for (const { row, at, dead, spans } of places) {
      const demands = momentDemands(dead, input.peaks.largest[row]!, input.peaks.smallest[row]!);
      for (const span of spans) {
        for (const [which, demand] of demands) {
          if (demand <= 1e-3 * scale) continue;
          const resistance = input.state.damageCase.resistance?.spans[span]?.[which] ?? null;
          if (resistance === null) {
            missing(`the ${which} resistance of ${spanName(span)}`);
            continue;
          }
          const where = `${spanName(span)}, ${which}`;
          worst = worse(worst, againstResistance(input, demand, resistance, at, where));
        }
      }
    }
    return worst;
  },
};

/** What the moments of a state are, whatever train runs. */
interface Moments {
  readonly places: readonly {
    readonly row: number;
    readonly at: number;
    readonly dead: number;
    readonly spans: readonly number[];
  }[];
  /** Largest size of the dead load's. */
  readonly scale: number;
}

const known = new WeakMap<BoundVariant, Moments>();

/** The same for all speeds and trains. */
function momentsOf(input: ObjectiveInput): Moments {
  const { variant, rows } = input;
  const before = known.get(variant);
  if (before) return before;
  const places: Moments['places'][number][] = [];
  let scale = 0;
  for (const row of rowsOf(rows, 'bending')) {
    const { x, span } = rows[row]!;
    const dead = variant.deadLoad.bendingAt(x);
    scale = Math.max(scale, Math.abs(dead));
    places.push({ row, at: x, dead, spans: spansAt(input, x, span) });
  }
  const moments = { places, scale };
  known.set(variant, moments);
  return moments;
}

/** The span of a point, and at an inner support also the one that follows: both end there. */
function spansAt(input: ObjectiveInput, x: number, span: number): number[] {
  const supports = supportPositions(input.state.viaduct);
  const atEnd = Math.abs(x - supports[span + 1]!) < 1e-6;
  return atEnd && span + 2 < supports.length ? [span, span + 1] : [span];
}
