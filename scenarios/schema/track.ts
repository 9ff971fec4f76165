import { z } from 'zod';
import { givenInThousands, givenInThousandths, quantity } from './quantity.js';

/** Both rails together: two light rails about 80 kg/m, two heavy ones about 150 kg/m. */
const rail = z.strictObject({
  mass_kg_per_m: quantity({
    unit: 'kg/m',
    min: 10,
    max: 1000,
    usual: [60, 200],
    slips: [givenInThousands('t/m')],
  }),
  flexural_rigidity_N_m2: quantity({
    unit: 'N m2',
    min: 1e5,
    max: 1e9,
    usual: [3e6, 5e7],
    slips: [givenInThousands('kN m2'), { factor: 1e6, givenIn: 'MN m2' }, givenInThousandths('N mm2 / 1000')],
  }),
  /** Both rails, of the fibre stressed most; absent: stresses are not asked for. */
  section_modulus_m3: quantity({
    unit: 'm3',
    min: 1e-5,
    max: 1e-2,
    usual: [2e-4, 2e-3],
    slips: [
      { factor: 1e-6, givenIn: 'cm3' },
      { factor: 1e-9, givenIn: 'mm3' },
    ],
  }).optional(),
});

/** A pair of rail seats, both rails. The upper end of the stiffness allows a practically rigid fastening. */
const fastening = z.strictObject({
  spacing_m: quantity({
    unit: 'm',
    min: 0.3,
    max: 2,
    usual: [0.4, 1],
    slips: [givenInThousandths('mm'), { factor: 1e-2, givenIn: 'cm' }],
  }),
  stiffness_N_per_m: quantity({
    unit: 'N/m',
    min: 1e6,
    max: 1e13,
    usual: [1e7, 1e9],
    slips: [givenInThousands('kN/m'), { factor: 1e6, givenIn: 'kN/mm' }],
  }),
  damping_N_s_per_m: quantity({
    unit: 'N s/m',
    min: 0,
    max: 1e8,
    usual: [1e3, 1e6],
    slips: [givenInThousandths('mN s/m')],
  }).default(0),
  /** The most that the clips of a pair of seats pull with; absent: the fastening pulls without end, as it presses. */
  clamping_force_kN: quantity({
    unit: 'kN',
    min: 1,
    max: 500,
    usual: [5, 120],
    slips: [givenInThousandths('N')],
  }).optional(),
  /** Under more than the clamping; absent: as in pull. */
  compression_stiffness_N_per_m: quantity({
    unit: 'N/m',
    min: 1e6,
    max: 1e13,
    usual: [1e7, 1e9],
    slips: [givenInThousands('kN/m'), { factor: 1e6, givenIn: 'kN/mm' }],
  }).optional(),
});

const slab = z.strictObject({
  mass_kg_per_m: quantity({
    unit: 'kg/m',
    min: 10,
    max: 20000,
    usual: [300, 8000],
    slips: [givenInThousands('t/m')],
  }),
  flexural_rigidity_N_m2: quantity({
    unit: 'N m2',
    min: 1e6,
    max: 1e12,
    usual: [1e7, 1e10],
    slips: [givenInThousands('kN m2'), { factor: 1e6, givenIn: 'MN m2' }],
  }),
  /** Null or absent: continuous. */
  panel_length_m: quantity({
    unit: 'm',
    min: 1,
    max: 1000,
    usual: [2, 50],
    slips: [givenInThousandths('mm')],
  })
    .nullable()
    .default(null),
});

/** Slab to deck, per metre of track. The upper end allows a practically rigid bedding. */
const bedding = z.strictObject({
  stiffness_N_per_m2: quantity({
    unit: 'N/m2 (line stiffness per metre of track)',
    min: 1e6,
    max: 1e13,
    usual: [3e6, 1e10],
    slips: [givenInThousands('kN/m2'), { factor: 1e6, givenIn: 'N/mm2' }],
  }),
  damping_N_s_per_m2: quantity({
    unit: 'N s/m2',
    min: 0,
    max: 1e8,
    usual: [1e3, 1e6],
    slips: [givenInThousandths('mN s/m2')],
  }).default(0),
});

/** Rail and fastening; slab and bedding come together or not at all (checked across fields). */
export const track = z.strictObject({
  rail,
  fastening,
  slab: slab.optional(),
  bedding: bedding.optional(),
});
