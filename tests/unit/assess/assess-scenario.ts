import { readScenario } from '../../../scenarios/read-scenario.js';
import type { CaseResult, Result, TrainResult } from '../../../scenarios/result.js';
import { gatherResult, planAssessment, runPart } from '../../../worker/engine.js';

type Document = Record<string, unknown>;

/** A small scenario: equal spans of 30 m, one regular train, few speeds; parts are replaced by the given keys. */
export function smallScenario(spans: number, changes: Document = {}): Document {
  return {
    format: 'deckpace/scenario@1',
    title: 'small',
    line: { speed_kmh: 160 },
    deck: {
      spans: Array.from({ length: spans }, () => ({
        length_m: 30,
        mass_kg_per_m: 14_000,
        flexural_rigidity_N_m2: 8e10,
      })),
      damping_ratio: 0.02,
    },
    supports: Array.from({ length: spans + 1 }, (_, index) => ({ id: `S${index}`, stiffness_N_per_m: 3e9 })),
    trains: [
      {
        id: 'unit',
        class: 'passenger',
        axles: [0, 2.5, 17, 19.5, 25, 27.5, 42, 44.5].map((at_m) => ({ at_m, load_kN: 150 })),
      },
    ],
    speeds: { from_kmh: 40, to_kmh: 192, step_kmh: 38 },
    ...changes,
  };
}

/** Slab track as keys of a scenario. */
export const slabTrack = {
  rail: { mass_kg_per_m: 120, flexural_rigidity_N_m2: 12.76e6 },
  fastening: { spacing_m: 0.65, stiffness_N_per_m: 80e6, damping_N_s_per_m: 60e3 },
  slab: { mass_kg_per_m: 1600, flexural_rigidity_N_m2: 2.3e8 },
  bedding: { stiffness_N_per_m2: 6e7, damping_N_s_per_m2: 5e4 },
};

/** Resistances with room for dead load and train on decks of 30 m spans. */
export function amplyResistant(spans: number): Document {
  return {
    spans: Array.from({ length: spans }, () => ({ sagging_kNm: 4e4, hogging_kNm: 4e4, shear_kN: 2e4 })),
    supports: Array.from({ length: spans + 1 }, (_, index) => ({ id: `S${index}`, reaction_kN: 3e4 })),
  };
}

/** The same, and a track that bears whatever it is asked to. */
export function amplyResistantTrack(spans: number): Document {
  const track = { slab_sagging_kNm: 1e4, slab_hogging_kNm: 1e4, rail_kNm: 1e3 };
  return { ...amplyResistant(spans), track };
}

/** Runs a scenario in process. */
export function assess(document: Document): Result {
  const reading = readScenario(JSON.stringify(document));
  if (!reading.ok) throw new Error(reading.faults.map((fault) => fault.message).join('\n'));
  const parts = planAssessment(reading.scenario).map((part) => runPart(reading.scenario, part));
  return gatherResult(reading.scenario, parts, reading.sha256);
}

export function caseOf(result: Result, id: string): CaseResult {
  const found = result.cases.find((one) => one.damage_case === id);
  if (!found) throw new Error(`no case ${id}`);
  return found;
}

export function trainOf(result: Result, damageCase: string, train = 'unit'): TrainResult {
  const found = caseOf(result, damageCase).trains.find((one) => one.train === train);
  if (!found) throw new Error(`no train ${train}`);
  return found;
}
