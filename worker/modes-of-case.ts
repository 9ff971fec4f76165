import type { Scenario } from '../scenarios/scenario.js';
import { translateScenario } from '../scenarios/translate.js';
import { buildDynamicModel } from '../solver/dynamic-model/dynamic-model.js';
import { modalParticipation } from '../solver/modes/modal-participation.js';
import { findMechanism } from '../solver/statics/mechanism.js';
import { applyDamage } from '../solver/viaduct/damage.js';
import { deckPoints, shapeAt, shapeOffset } from './assess/deck-shape.js';
import { describeMechanism } from './assess/wording.js';

/** One natural mode of the viaduct with its track. */
export interface NaturalMode {
  /** Undamped. */
  readonly frequency_Hz: number;
  readonly damping_ratio: number;
  /** Effective modal mass under a uniform vertical acceleration, of the whole mass of deck and track. */
  readonly effective_mass_percent: number;
  /** Modal mass of the shape scaled to a largest deck deflection of 1; null where the axis of the deck stays at rest. */
  readonly modal_mass_t: number | null;
  readonly x_m: readonly number[];
  /**
   * Deflection of the deck, downwards, the largest 1 or -1; zero throughout where only the track moves. On the axis, or beside it where the
   * deck turns (see shapeOffset).
   */
  readonly deck: readonly number[];
}

/** The modes of the deck in one damage case, ascending in frequency; the same ones that an assessment uses. */
export interface CaseModes {
  readonly title: string;
  readonly damage_case: string;
  readonly stable: boolean;
  /** What moves freely, in words, when not stable. */
  readonly mechanism: string | null;
  readonly modes: readonly NaturalMode[];
}

/** @throws RangeError when the scenario has no such damage case */
export function modesOfCase(scenario: Scenario, damageCase: string): CaseModes {
  const model = translateScenario(scenario);
  const found = model.damageCases.find(({ id }) => id === damageCase);
  if (found === undefined) throw new RangeError(`the scenario has no damage case ${damageCase}`);
  const viaduct = applyDamage(model.viaduct, found.effects);
  const about = { title: model.title, damage_case: damageCase };
  const mechanism = findMechanism(viaduct);
  if (mechanism !== null)
    return {
      ...about,
      stable: false,
      mechanism: `${describeMechanism(mechanism)}. ${mechanism.loosePanels.length > 0 ? 'What lies loose' : 'The deck does not stand and'} has no modes.`,
      modes: [],
    };
  const { mesh, modes, dampingRatios } = buildDynamicModel(viaduct);
  const { effectiveMassShares, modalMasses } = modalParticipation(mesh, modes);
  const points = deckPoints(mesh);
  const offset = shapeOffset(viaduct);
  return {
    ...about,
    stable: true,
    mechanism: null,
    modes: modes.shapes.map((shape, index) => ({
      frequency_Hz: modes.angularFrequencies[index]! / (2 * Math.PI),
      damping_ratio: dampingRatios[index]!,
      effective_mass_percent: 100 * effectiveMassShares[index]!,
      modal_mass_t: Number.isFinite(modalMasses[index]) ? modalMasses[index]! / 1000 : null,
      x_m: points.map(({ x }) => x),
      deck: scaled(shapeAt(points, shape, offset)),
    })),
  };
}

function scaled(values: readonly number[]): readonly number[] {
  const largest = Math.max(...values.map(Math.abs));
  return largest === 0 ? values : values.map((value) => value / largest);
}
