import { rowsOf } from '../../solver/rows/response-rows.js';
import { supportPositions } from '../../solver/statics/dead-load.js';
import type { BoundVariant } from '../assess/bound-variant.js';
import {
  againstResistance,
  type Finding,
  nearer,
  type ObjectiveInput,
  type SafetyCheck,
  sharesOf,
  spanName,
  worse,
} from './check.js';
import { type MomentResistance, momentDemands, momentTerms, relievedMomentTerms } from './moment-terms.js';
import { addEntries, type ObjectiveEntry, type ObjectiveTerms, objectiveOf } from './objective-entries.js';

/** Sagging and hogging, dead load plus train with its own dynamics, against the resistance of the span (over a support: of both). */
export const bending: SafetyCheck = {
  id: 'bending',
  unit: 'kNm',
  objectives(input) {
    const objective = (terms: (resistance: MomentResistance, dead: number) => ObjectiveTerms) => {
      const entries: ObjectiveEntry[] = [];
      for (const { row, dead, spans } of momentsOf(input).places) {
        for (const span of spans) {
          const { sagging = null, hogging = null } = input.state.damageCase.resistance?.spans[span] ?? {};
          addEntries(entries, row, terms({ sagging, hogging }, dead));
        }
      }
      return objectiveOf(entries);
    };
    return [
      objective(momentTerms),
      ...sharesOf('bending', input).map((share) =>
        objective((resistance, dead) => relievedMomentTerms(resistance, dead, share)),
      ),
    ];
  },
  judge(input, missing) {
    const { places, scale } = momentsOf(input);
    let worst: Finding | null = null;
    let relieved = 0;
    for (const { row, at, dead, spans } of places) {
      const demands = momentDemands(dead, input.peaks.largest[row]!, input.peaks.smallest[row]!);
      for (const span of spans) {
        for (const [which, demand] of demands) {
          const asked = demand.dead + demand.train > 1e-3 * scale;
          const resistance = input.state.damageCase.resistance?.spans[span]?.[which] ?? null;
          if (resistance === null) {
            if (asked) missing(`the ${which} resistance of ${spanName(span)}`);
            continue;
          }
          const finding = againstResistance(input, demand, resistance, at, `${spanName(span)}, ${which}`);
          if (asked) worst = worse(worst, finding);
          else relieved = Math.max(relieved, finding.nearness ?? 0);
        }
      }
    }
    return nearer(worst, relieved);
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
