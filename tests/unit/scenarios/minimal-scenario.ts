/** The smallest scenario that validates, as a fresh plain object that a test may change. */
export function minimalScenario() {
  return {
    format: 'deckpace/scenario@1',
    title: 'Two spans over a brook',
    line: { speed_kmh: 200 },
    deck: {
      spans: [
        { length_m: 30, mass_kg_per_m: 15000, flexural_rigidity_N_m2: 1.1e11 },
        { length_m: 30, mass_kg_per_m: 15000, flexural_rigidity_N_m2: 1.1e11 },
      ],
      damping_ratio: 0.01,
    },
    supports: [{ id: 'A1' }, { id: 'P1', stiffness_N_per_m: 3e9 }, { id: 'A2' }],
    trains: [{ load_model: 'HSLM-A1' }],
  };
}

/** The same deck with two tracks beside the axis on pairs of bearings, one of which a damage case loses. */
export function twoTrackScenario() {
  const minimal = minimalScenario();
  return {
    ...minimal,
    deck: {
      ...minimal.deck,
      spans: minimal.deck.spans.map((span) => ({
        ...span,
        torsional_rigidity_N_m2: 7e10,
        rotary_inertia_kg_m: 1.2e5,
      })),
    },
    supports: minimal.supports.map((support) => ({ ...support, bearing_spread_m: 4 })),
    tracks: [{ eccentricity_m: -2.1 }, { eccentricity_m: 2.1 }],
    meeting: 'one-track',
    damage_cases: [{ id: 'P1-left', effects: [{ kind: 'bearing-loss', support: 'P1', side: 'left' }] }],
  };
}

/** A scenario that uses every key of the format but those of torsion. */
export function fullScenario() {
  return {
    ...minimalScenario(),
    notes: 'invented',
    line: { speed_kmh: 200, start_chainage_km: 12.34 },
    deck: {
      spans: [
        {
          length_m: 30,
          segments: [
            { length_m: 10, mass_kg_per_m: 16000, flexural_rigidity_N_m2: 1.2e11, shear_rigidity_N: 2e10 },
            { length_m: 20, mass_kg_per_m: 15000, flexural_rigidity_N_m2: 1.1e11 },
          ],
        },
        { length_m: 30, mass_kg_per_m: 15000, flexural_rigidity_N_m2: 1.1e11, shear_rigidity_N: 2e10 },
      ],
      material: 'prestressed-concrete',
    },
    supports: [
      { id: 'A1', uplift_resistance_kN: 100 },
      { id: 'P1', stiffness_N_per_m: 3e9, joint: false },
      { id: 'A2', joint: false },
    ],
    track: {
      rail: { mass_kg_per_m: 120, flexural_rigidity_N_m2: 12.76e6, section_modulus_m3: 7.5e-4 },
      fastening: {
        spacing_m: 0.65,
        stiffness_N_per_m: 80e6,
        damping_N_s_per_m: 60e3,
        clamping_force_kN: 36,
        compression_stiffness_N_per_m: 1.2e8,
      },
      slab: { mass_kg_per_m: 1600, flexural_rigidity_N_m2: 2.3e8, panel_length_m: null },
      bedding: { stiffness_N_per_m2: 6e7, damping_N_s_per_m2: 5e4 },
    },
    track_irregularity: {
      sample: { spectrum: 'german-low', seed: 7, from_wavelength_m: 3, to_wavelength_m: 70 },
    },
    trains: [
      { load_model: 'HSLM-A1', class: 'high-speed' },
      { id: 'coal', load_model: 'D4', wagons: 20, reverse: true },
      { load_model: 'LM71', dynamic_factor: 'phi2' },
      {
        id: 'shuttle',
        class: 'passenger',
        axles: [
          { at_m: 0, load_kN: 150 },
          { at_m: 2.5, load_kN: 150 },
          { at_m: 17.5, load_kN: 140 },
          { at_m: 20, load_kN: 140 },
        ],
        reverse: true,
      },
    ],
    speeds: { from_kmh: 20, to_kmh: 230, step_kmh: 20 },
    resistance: {
      spans: [{ sagging_kNm: 40000, hogging_kNm: 45000, shear_kN: 6000 }, null],
      supports: [{ id: 'P1', reaction_kN: 12000 }],
    },
    damage_cases: [
      {
        id: 'everything',
        title: 'All six effects at once',
        reverse: true,
        effects: [
          { kind: 'support-stiffness-loss', support: 'P1', fraction: 0.5 },
          { kind: 'support-settlement', support: 'A2', settlement_mm: 12 },
          { kind: 'bearing-loss', support: 'A1' },
          { kind: 'deck-stiffness-loss', span: 1, from_m: 12, to_m: 18, fraction: 0.3 },
          { kind: 'bedding-loss', from_m: 20, to_m: 40, fraction: 0.7 },
          { kind: 'fastening-loss', from_m: 25, to_m: 28, fraction: 1 },
        ],
        resistance: {
          spans: [{ span: 1, sagging_kNm: 30000 }],
          supports: [{ id: 'P1', reaction_kN: 9000 }],
        },
      },
    ],
    limits: {
      set: 'en-1990-a2',
      own_set: {
        format: 'deckpace/limits@1',
        id: 'house-rules',
        title: 'House rules',
        limits: [
          {
            check: 'deck-deflection',
            kind: 'safety',
            unit: 'L/n',
            steps: [{ up_to_kmh: null, value: 800 }],
            source: 'house rule',
          },
        ],
      },
      overrides: { 'deck-acceleration': 3.5 },
    },
    decision: {
      overspeed_factor: 1.1,
      round_down_to_kmh: 10,
      bounds: { stiffness_factors: [0.9, 1.1], mass_factors: [1], damping_factors: [0.8] },
    },
  };
}
