import type { CaseResult, Statics } from '../../scenarios/result.js';
import type { DynamicModel } from '../../solver/dynamic-model/dynamic-model.js';
import { largestSize } from '../../solver/lines/line-samples.js';
import { stationIndices } from '../../solver/rows/response-rows.js';
import { supportPositions } from '../../solver/statics/dead-load.js';
import type { DeadLoadState } from '../../solver/statics/dead-load-state.js';
import type { Viaduct } from '../../solver/viaduct/model.js';
import type { CaseState } from './case-state.js';
import { deadLoadChange } from './dead-load-change.js';
import { deckPoints, shapeAt, shapeOffset } from './deck-shape.js';
import { describeMechanism } from './wording.js';

const picturedModes = 6;

/** The case without its trains. A case that statics close has no modes. */
export function caseResultOf(state: CaseState): Omit<CaseResult, 'trains'> {
  const { damageCase, viaduct, deadLoad, released } = state;
  const dynamics = state.mechanism || released ? null : state.variants[0]!.dynamics();
  return {
    damage_case: damageCase.id,
    title: damageCase.title,
    stable: !state.mechanism,
    mechanism: state.mechanism ? describeMechanism(state.mechanism) : null,
    frequencies_Hz: dynamics
      ? Array.from(dynamics.modes.angularFrequencies, (omega) => omega / (2 * Math.PI))
      : [],
    mode_shapes: dynamics ? modeShapes(dynamics, viaduct) : [],
    statics: deadLoad ? staticsOf(viaduct, deadLoad, state.variants[0]?.change?.sag ?? 0) : null,
    statics_released: released
      ? {
          lifted: [...new Set(released.lifted.map(({ support }) => support))],
          stable: released.state !== null,
          statics: released.state
            ? staticsOf(viaduct, released.state, sagOfReleased(state, released.state))
            : null,
        }
      : null,
  };
}

/** Change against the held-down state added to its own sag: an upper bound of the change against intact. */
function sagOfReleased(state: CaseState, released: DeadLoadState): number {
  const { viaduct, variants } = state;
  const heldDown = state.deadLoad!;
  const { x, deflection } = variants[0]?.change ?? deadLoadChange(viaduct, heldDown, heldDown);
  let sag = 0;
  x.forEach((at, i) => {
    const side = i > 0 && x[i - 1] === at ? 'right' : at === 0 ? 'right' : 'left';
    const moved = released.deflectionAt(at, side) - heldDown.deflectionAt(at, side) + deflection[i]!;
    sag = Math.max(sag, Math.abs(moved));
  });
  return sag;
}

function staticsOf(viaduct: Viaduct, deadLoad: DeadLoadState, sag: number): Statics {
  const supports = supportPositions(viaduct);
  const x: number[] = [];
  const deflection: number[] = [];
  const bending: number[] = [];
  let sagging = 0;
  let hogging = 0;
  let shear = 0;
  for (let span = 0; span + 1 < supports.length; span++) {
    const from = supports[span]!;
    const to = supports[span + 1]!;
    for (let i = 0; i <= 40; i++) {
      const at = i === 40 ? to : from + ((to - from) * i) / 40;
      const side = i === 40 ? 'left' : 'right';
      x.push(at);
      deflection.push(1e3 * deadLoad.deflectionAt(at, side));
      const moment = deadLoad.bendingAt(at) / 1e3;
      bending.push(moment);
      sagging = Math.max(sagging, moment);
      hogging = Math.max(hogging, -moment);
    }
    shear = Math.max(
      shear,
      Math.abs(deadLoad.shearAt(from, 'right')),
      Math.abs(deadLoad.shearAt(to, 'left')),
    );
  }
  return {
    reactions_kN: Object.fromEntries(
      viaduct.supports.map((support, index) => [support.id, deadLoad.reactions[index]! / 1e3]),
    ),
    sag_mm: 1e3 * sag,
    dead_load_deflection_mm: largestSize(Float64Array.from(deflection)),
    max_sagging_kNm: sagging,
    max_hogging_kNm: hogging,
    max_shear_kN: shear / 1e3,
    ...(viaduct.supports.some(({ bearingSpread }) => bearingSpread !== undefined) && {
      bearing_reactions_kN: bearingReactions(viaduct, deadLoad),
    }),
    x_m: x,
    deflection_mm: deflection,
    bending_kNm: bending,
  };
}

/** Of two bearings side by side, by the support's id, the deck end at a joint, and the side. */
function bearingReactions({ supports }: Viaduct, { bearings }: DeadLoadState): Record<string, number> {
  return Object.fromEntries(
    bearings
      .filter(({ side }) => side !== 'only')
      .map(({ support, end, side, reaction }) => [
        `${supports[support]!.id}${end === 'only' ? '' : `, ${end} deck end`}, ${side} bearing`,
        reaction / 1e3,
      ]),
  );
}

function modeShapes({ mesh, modes }: DynamicModel, viaduct: Viaduct): CaseResult['mode_shapes'] {
  const points = deckPoints(mesh, stationIndices(mesh)).filter(
    ({ node: { deflection, twist } }) => deflection >= 0 || twist >= 0,
  );
  const offset = shapeOffset(viaduct);
  return Array.from({ length: Math.min(picturedModes, modes.shapes.length) }, (_, mode) => {
    const deck = shapeAt(points, modes.shapes[mode]!, offset);
    const most = largestSize(Float64Array.from(deck)) || 1;
    return {
      frequency_Hz: modes.angularFrequencies[mode]! / (2 * Math.PI),
      x_m: points.map(({ x }) => x),
      deck: deck.map((value) => value / most),
    };
  });
}
