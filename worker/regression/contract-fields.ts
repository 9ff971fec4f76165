import { z } from 'zod';
import {
  caseResult,
  check,
  type DeckEndResult,
  deckEndResult,
  type Result,
  recommendation,
  result,
  statics,
  sweep,
  type TrainResult,
  trainResult,
} from '../../scenarios/result.js';

const contractStatics = statics.pick({
  reactions_kN: true,
  sag_mm: true,
  max_sagging_kNm: true,
  max_hogging_kNm: true,
  max_shear_kN: true,
});

/** Values only: the seat and the position of the train may change between two that are equally bad. */
const contractDeckEnd = deckEndResult.pick({
  support: true,
  track: true,
  uplift_mm: true,
  pull_kN: true,
  linear_pull_kN: true,
  released_seats: true,
  compression_kN: true,
  rail_bending_increment_kNm: true,
  rail_stress_increment_N_per_mm2: true,
});

const contractTrain = trainResult
  .pick({
    train: true,
    class: true,
    status: true,
    permitted_speed_kmh: true,
    comfort_speed_kmh: true,
    governing: true,
    reason: true,
    blocked_bands_kmh: true,
    missing: true,
  })
  .extend({
    checks: z.array(check),
    /** At the speeds that were asked for; the refined ones in between may move. */
    sweep,
    /** Largest of each swept quantity over all speeds, the refined ones included. */
    sweep_peaks: z.record(z.string(), z.number()),
    /** Only where the fastening is given its clamping force. */
    deck_ends: z.array(contractDeckEnd).optional(),
  });

const contractCase = caseResult
  .pick({ damage_case: true, stable: true, mechanism: true, frequencies_Hz: true })
  .extend({
    statics: contractStatics.nullable(),
    statics_released: z
      .strictObject({
        lifted: z.array(z.string()),
        stable: z.boolean(),
        statics: contractStatics.nullable(),
      })
      .nullable(),
    trains: z.array(contractTrain),
  });

/** The part of a result that other programs rely on, and that a regression holds still. */
export const contractFields = result
  .pick({ scenario_sha256: true, title: true, line_speed_kmh: true, selection: true, cautions: true })
  .extend({ cases: z.array(contractCase), recommendations: z.array(recommendation) });
export type ContractFields = z.infer<typeof contractFields>;

/**
 * Takes the contract fields out of a result.
 *
 * @param sweptSpeeds km/h: the speeds of the sweep to keep, those of the scenario's grid; null keeps all
 */
export function contractFieldsOf(whole: Result, sweptSpeeds: readonly number[] | null): ContractFields {
  return {
    scenario_sha256: whole.scenario_sha256,
    title: whole.title,
    line_speed_kmh: whole.line_speed_kmh,
    ...(whole.selection && { selection: whole.selection }),
    cases: whole.cases.map((one) => ({
      damage_case: one.damage_case,
      stable: one.stable,
      mechanism: one.mechanism,
      frequencies_Hz: one.frequencies_Hz,
      statics: one.statics && staticsOf(one.statics),
      statics_released: one.statics_released && {
        lifted: one.statics_released.lifted,
        stable: one.statics_released.stable,
        statics: one.statics_released.statics && staticsOf(one.statics_released.statics),
      },
      trains: one.trains.map((train) => trainOf(train, sweptSpeeds)),
    })),
    recommendations: whole.recommendations,
    cautions: whole.cautions,
  };
}

function staticsOf(whole: z.infer<typeof statics>): z.infer<typeof contractStatics> {
  const { reactions_kN, sag_mm, max_sagging_kNm, max_hogging_kNm, max_shear_kN } = whole;
  return { reactions_kN, sag_mm, max_sagging_kNm, max_hogging_kNm, max_shear_kN };
}

function deckEndOf(whole: DeckEndResult): z.infer<typeof contractDeckEnd> {
  const { at_m, speed_kmh, seat_m, leading_axle_m, compressed_seat_m, rail_m, ...values } = whole;
  return values;
}

function trainOf(train: TrainResult, sweptSpeeds: readonly number[] | null): z.infer<typeof contractTrain> {
  const speeds = train.sweep.speed_kmh;
  const kept = speeds.flatMap((speed, i) => (sweptSpeeds === null || sweptSpeeds.includes(speed) ? [i] : []));
  const series = Object.entries(train.sweep);
  return {
    train: train.train,
    class: train.class,
    status: train.status,
    permitted_speed_kmh: train.permitted_speed_kmh,
    comfort_speed_kmh: train.comfort_speed_kmh,
    governing: train.governing,
    reason: train.reason,
    blocked_bands_kmh: train.blocked_bands_kmh,
    missing: train.missing,
    checks: train.checks,
    sweep: {
      ...Object.fromEntries(series.map(([key, values]) => [key, kept.map((i) => values[i]!)])),
      speed_kmh: kept.map((i) => speeds[i]!),
    },
    sweep_peaks: Object.fromEntries(
      series
        .filter(([key, values]) => key !== 'speed_kmh' && values.length > 0)
        .map(([key, values]) => [key, values.reduce((most, value) => Math.max(most, value))]),
    ),
    ...(train.deck_ends && { deck_ends: train.deck_ends.map(deckEndOf) }),
  };
}
