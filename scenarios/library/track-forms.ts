import type { Scenario } from '../scenario.js';

/** A track form to start from: copy it into a scenario's `track` and put in the values of the track in place. */
export interface TrackForm {
  readonly id: string;
  readonly description: string;
  readonly track: NonNullable<Scenario['track']>;
  readonly source: string;
}

/** Two rails of 60 kg/m: second moment of area 3038 cm4 each, steel at 210 GPa. */
const rail = { mass_kg_per_m: 120, flexural_rigidity_N_m2: 12.76e6 };
const fastening = { spacing_m: 0.65, stiffness_N_per_m: 80e6, damping_N_s_per_m: 60e3 };
const source = 'invented values of usual size, common practice (mem); not those of any product';

export const trackForms: readonly TrackForm[] = [
  {
    id: 'continuous-slab',
    description: 'continuous slab, about 2.8 m x 0.24 m, on a mortar and mat bedding',
    track: {
      rail,
      fastening,
      slab: { mass_kg_per_m: 1600, flexural_rigidity_N_m2: 2.3e8, panel_length_m: null },
      bedding: { stiffness_N_per_m2: 6e7, damping_N_s_per_m2: 5e4 },
    },
    source,
  },
  {
    id: 'panel-slab',
    description: 'slab panels of 6.5 m on a stiff grout bedding',
    track: {
      rail,
      fastening,
      slab: { mass_kg_per_m: 1350, flexural_rigidity_N_m2: 1.4e8, panel_length_m: 6.5 },
      bedding: { stiffness_N_per_m2: 2e9, damping_N_s_per_m2: 1e5 },
    },
    source,
  },
  {
    id: 'floating-slab',
    description: 'heavy slab on a soft mat, tuned to about 12 Hz',
    track: {
      rail,
      fastening,
      slab: { mass_kg_per_m: 3500, flexural_rigidity_N_m2: 6e8, panel_length_m: null },
      bedding: { stiffness_N_per_m2: 2e7, damping_N_s_per_m2: 3e4 },
    },
    source,
  },
  {
    id: 'direct-fastening',
    description: 'rails on elastic fastenings straight on the deck',
    track: { rail, fastening: { spacing_m: 0.6, stiffness_N_per_m: 50e6, damping_N_s_per_m: 40e3 } },
    source,
  },
];
