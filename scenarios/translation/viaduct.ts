import type { DeckSegment, Span, Support, Track, Viaduct } from '../../solver/viaduct/model.js';
import { dampingRatio } from '../library/damping.js';
import type { Scenario, ScenarioSpan } from '../scenario.js';
import { substructureOf } from './substructure.js';

/** The intact structure in SI units. */
export function viaductOf(scenario: Scenario): Viaduct {
  const { deck } = scenario;
  const substructure = substructureOf(scenario);
  return {
    spans: deck.spans.map(spanOf),
    supports: supportsOf(scenario),
    ...(substructure && { substructure }),
    track: trackOf(scenario),
    ...(scenario.tracks && {
      tracks: scenario.tracks.map(({ eccentricity_m }) => ({ eccentricity: eccentricity_m })),
    }),
    dampingRatio:
      deck.material === undefined
        ? given(deck.damping_ratio)
        : dampingRatio(
            deck.material,
            deck.spans.map((span) => span.length_m),
          ),
  };
}

function spanOf(span: ScenarioSpan): Span {
  const segments = span.segments ?? [
    {
      length_m: span.length_m,
      mass_kg_per_m: given(span.mass_kg_per_m),
      flexural_rigidity_N_m2: given(span.flexural_rigidity_N_m2),
      shear_rigidity_N: span.shear_rigidity_N,
      torsional_rigidity_N_m2: span.torsional_rigidity_N_m2,
      rotary_inertia_kg_m: span.rotary_inertia_kg_m,
    },
  ];
  return {
    segments: segments.map(
      (segment): DeckSegment => ({
        length: segment.length_m,
        massPerLength: segment.mass_kg_per_m,
        flexuralRigidity: segment.flexural_rigidity_N_m2,
        shearRigidity: segment.shear_rigidity_N ?? null,
        ...(segment.torsional_rigidity_N_m2 !== undefined && {
          torsion: {
            rigidity: segment.torsional_rigidity_N_m2,
            rotaryInertia: given(segment.rotary_inertia_kg_m),
          },
        }),
      }),
    ),
  };
}

function supportsOf(scenario: Scenario): readonly Support[] {
  const last = scenario.supports.length - 1;
  return scenario.supports.map((support, index) => ({
    id: support.id,
    stiffness: support.stiffness_N_per_m ?? Number.POSITIVE_INFINITY,
    settlement: 0,
    joint: support.joint && index > 0 && index < last,
    bearing: true,
    ...(support.bearing_spread_m !== undefined && { bearingSpread: support.bearing_spread_m }),
    upliftResistance: support.uplift_resistance_kN * 1e3,
  }));
}

function trackOf(scenario: Scenario): Track | null {
  const { track } = scenario;
  if (track === undefined) return null;
  const { rail, fastening, slab, bedding } = track;
  return {
    rail: {
      massPerLength: rail.mass_kg_per_m,
      flexuralRigidity: rail.flexural_rigidity_N_m2,
      ...(rail.section_modulus_m3 !== undefined && { sectionModulus: rail.section_modulus_m3 }),
    },
    fastening: {
      spacing: fastening.spacing_m,
      stiffness: fastening.stiffness_N_per_m,
      damping: fastening.damping_N_s_per_m,
      ...(fastening.clamping_force_kN !== undefined && {
        clamping: {
          force: fastening.clamping_force_kN * 1e3,
          compressionStiffness: fastening.compression_stiffness_N_per_m ?? fastening.stiffness_N_per_m,
        },
      }),
    },
    slab:
      slab === undefined
        ? null
        : {
            massPerLength: slab.mass_kg_per_m,
            flexuralRigidity: slab.flexural_rigidity_N_m2,
            panelLength: slab.panel_length_m,
          },
    bedding:
      bedding === undefined
        ? null
        : { stiffnessPerLength: bedding.stiffness_N_per_m2, dampingPerLength: bedding.damping_N_s_per_m2 },
    losses: [],
  };
}

/** A value that validation has made sure of; RangeError if a scenario came past it. */
function given(value: number | undefined): number {
  if (value === undefined) throw new RangeError('the scenario did not pass readScenario: a value is missing');
  return value;
}
