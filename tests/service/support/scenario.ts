/** A small valid scenario whose trains carry the given names; the test engine behaves as they say. */
export function scenarioOf(title: string, ...trains: readonly string[]) {
  return {
    format: 'deckpace/scenario@1',
    title,
    line: { speed_kmh: 160, start_chainage_km: 12.34 },
    deck: {
      spans: [{ length_m: 30, mass_kg_per_m: 15_000, flexural_rigidity_N_m2: 1e11 }],
      material: 'prestressed-concrete',
    },
    supports: [{ id: 'A1' }, { id: 'A2' }],
    trains: trains.map((id) => ({
      id,
      class: 'passenger',
      axles: [
        { at_m: 0, load_kN: 170 },
        { at_m: 3, load_kN: 170 },
      ],
    })),
    damage_cases: [],
  };
}
