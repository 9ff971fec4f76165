import type { Check } from '../../scenarios/result.js';
import { chosenWords } from '../report/selection-words.js';
import type { ContractFields } from './contract-fields.js';
import { responseFamily, type ToleranceName } from './tolerances.js';

export type FlatValue = number | string | boolean | null;

/** One value of a result, with the place it stands in and the tolerance it is held to. */
export interface FlatEntry {
  /** Damage case, train, check: what a reader needs to find it. */
  readonly place: string;
  readonly quantity: string;
  readonly value: FlatValue;
  readonly family: ToleranceName;
  /** Set for a value of a sweep at one speed. */
  readonly sweptAt?: number;
}

/** Every value of the contract fields under a key that is the same in two results when it means the same. */
export function flattenContract(fields: ContractFields): ReadonlyMap<string, FlatEntry> {
  const entries = new Map<string, FlatEntry>();
  const add = (
    place: string,
    quantity: string,
    value: FlatValue,
    family: ToleranceName,
    sweptAt?: number,
  ): void => {
    entries.set(JSON.stringify([place, quantity]), {
      place,
      quantity,
      value,
      family,
      ...(sweptAt === undefined ? {} : { sweptAt }),
    });
  };
  add('scenario', 'scenario_sha256', fields.scenario_sha256, 'described');
  add('scenario', 'title', fields.title, 'described');
  add('scenario', 'line_speed_kmh', fields.line_speed_kmh, 'decided');
  add('scenario', 'selection', selectionText(fields), 'decided');
  fields.cautions.forEach((caution, i) => {
    add('cautions', String(i + 1), caution, 'described');
  });
  for (const one of fields.cases) addCase(add, one);
  for (const given of fields.recommendations) {
    const place = `recommendation ${given.damage_case} / ${given.class}`;
    for (const key of ['status', 'permitted_speed_kmh', 'comfort_speed_kmh', 'governing'] as const)
      add(place, key, given[key], 'recommended');
    add(place, 'governing_train', given.governing_train, 'recommended');
    add(place, 'reason', given.reason, 'worded');
    add(place, 'from_chainage_km', given.from_chainage_km, 'chainage_km');
    add(place, 'to_chainage_km', given.to_chainage_km, 'chainage_km');
    if (given.from_m !== undefined) add(place, 'from_m', given.from_m, 'stretch_m');
    if (given.to_m !== undefined) add(place, 'to_m', given.to_m, 'stretch_m');
  }
  return entries;
}

/** What a selection covers, in whatever order it was asked for; null for the whole scenario. */
function selectionText({ selection }: ContractFields): string | null {
  if (selection === undefined) return null;
  const { damage_cases, trains } = selection;
  return chosenWords({ damage_cases: damage_cases.toSorted(), trains: trains.toSorted() });
}

type Add = (
  place: string,
  quantity: string,
  value: FlatValue,
  family: ToleranceName,
  sweptAt?: number,
) => void;
type ContractCase = ContractFields['cases'][number];

function addCase(add: Add, one: ContractCase): void {
  const place = one.damage_case;
  add(place, 'stable', one.stable, 'permitted');
  add(place, 'mechanism', one.mechanism, 'decided');
  add(place, 'number of frequencies', one.frequencies_Hz.length, 'decided');
  one.frequencies_Hz.forEach((frequency, mode) => {
    add(place, `frequency ${mode + 1}, Hz`, frequency, 'frequency_Hz');
  });
  addStatics(add, `${place} / dead load`, one.statics);
  if (one.statics_released) {
    const released = `${place} / dead load, lifted supports released`;
    add(released, 'lifted', one.statics_released.lifted.join(', '), 'decided');
    add(released, 'stable', one.statics_released.stable, 'decided');
    addStatics(add, released, one.statics_released.statics);
  } else add(`${place} / dead load, lifted supports released`, 'lifted', null, 'decided');
  for (const train of one.trains) addTrain(add, `${place} / ${train.train}`, train);
}

function addStatics(add: Add, place: string, statics: ContractCase['statics']): void {
  add(place, 'given', statics !== null, 'decided');
  if (!statics) return;
  for (const [support, reaction] of Object.entries(statics.reactions_kN))
    add(place, `reaction ${support}, kN`, reaction, 'static_kN');
  add(place, 'sag_mm', statics.sag_mm, 'static_mm');
  add(place, 'max_sagging_kNm', statics.max_sagging_kNm, 'static_kNm');
  add(place, 'max_hogging_kNm', statics.max_hogging_kNm, 'static_kNm');
  add(place, 'max_shear_kN', statics.max_shear_kN, 'static_kN');
}

function addTrain(add: Add, place: string, train: ContractCase['trains'][number]): void {
  for (const key of ['status', 'permitted_speed_kmh', 'comfort_speed_kmh', 'governing'] as const)
    add(place, key, train[key], 'permitted');
  add(place, 'class', train.class, 'decided');
  add(place, 'reason', train.reason, 'worded');
  add(place, 'missing', train.missing.join('; '), 'decided');
  add(place, 'number of blocked bands', train.blocked_bands_kmh.length, 'decided');
  train.blocked_bands_kmh.forEach(([from, to], band) => {
    add(place, `blocked band ${band + 1} from, km/h`, from, 'located_kmh');
    add(place, `blocked band ${band + 1} to, km/h`, to, 'located_kmh');
  });
  for (const check of train.checks) addCheck(add, `${place} / ${check.id}`, check);
  const speeds = train.sweep.speed_kmh;
  for (const [key, values] of Object.entries(train.sweep)) {
    if (key === 'speed_kmh') continue;
    values.forEach((value, i) => {
      add(place, `${key} at ${speeds[i]} km/h`, value, responseFamily(key), speeds[i]!);
    });
  }
  for (const [key, value] of Object.entries(train.sweep_peaks))
    add(place, `largest ${key}`, value, responseFamily(key));
  for (const { support, track, released_seats, ...values } of train.deck_ends ?? []) {
    const end = `${place} / deck end ${support}, track ${track}`;
    add(end, 'released_seats', released_seats, 'decided');
    for (const [key, value] of Object.entries(values)) add(end, key, value, responseFamily(key));
  }
}

function addCheck(add: Add, place: string, check: Check): void {
  for (const key of ['kind', 'unit', 'where', 'source', 'evidence', 'permitted_speed_kmh'] as const)
    add(place, key, check[key], 'decided');
  add(place, 'value', check.value, responseFamily(check.unit));
  add(place, 'limit', check.limit, responseFamily(check.unit));
  add(place, 'utilisation', check.utilisation, 'utilisation');
  add(place, 'speed_kmh', check.speed_kmh, 'located_kmh');
  add(place, 'at_m', check.at_m, 'located_m');
}
