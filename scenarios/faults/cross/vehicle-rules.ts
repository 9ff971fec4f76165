import { type Fault, fault, type Path } from '../../fault.js';
import { scenarioBounds } from '../../schema/bounds.js';
import { numberText } from '../../schema/quantity.js';
import { exactlyOne } from './exactly-one.js';
import { entries, member, numberIn } from './lenient.js';

const kinds = ['vehicle', 'bogie_vehicle', 'sprung_mass'] as const;

/** Vehicles of a train: each of one kind, not too many, bogies shared only with a neighbour on bogies, dimensions that fit. */
export function vehicleRules(document: unknown): readonly Fault[] {
  return entries(document, 'trains', scenarioBounds.trains).flatMap((train, index) => {
    const path: Path = ['trains', index, 'vehicles'];
    const vehicles = entries(train, 'vehicles', scenarioBounds.vehiclesPerTrain);
    const total = vehicles.reduce<number>((sum, one) => sum + (numberIn(one, 'count') ?? 1), 0);
    return [
      ...(total > scenarioBounds.vehiclesPerTrain
        ? [
            fault(path, 'too-many', {
              found: `${numberText(total)} vehicles`,
              accepted: `at most ${scenarioBounds.vehiclesPerTrain} vehicles in a train`,
            }),
          ]
        : []),
      ...vehicles.flatMap((vehicle, place) => vehicleFaults(vehicles, vehicle, place, [...path, place])),
    ];
  });
}

function vehicleFaults(
  vehicles: readonly unknown[],
  vehicle: unknown,
  place: number,
  path: Path,
): readonly Fault[] {
  if (typeof vehicle !== 'object' || vehicle === null) return [];
  const several = exactlyOne(vehicle, kinds, path);
  if (several.length > 0) return several;
  const own = member(vehicle, 'bogie_vehicle');
  const faults: Fault[] = [];
  if (member(own, 'shares_bogie_with_next') === true) {
    const several = (numberIn(vehicle, 'count') ?? 1) > 1;
    const next = vehicles[place + 1];
    const onBogies = member(next, 'bogie_vehicle') !== undefined || member(next, 'vehicle') !== undefined;
    if (!onBogies) {
      faults.push(
        fault([...path, 'bogie_vehicle', 'shares_bogie_with_next'], 'not-applicable', {
          found: next === undefined ? 'the last vehicle of the train' : 'a vehicle without bogies behind it',
          accepted: 'true only where a vehicle on bogies follows',
          guess: several ? 'Give the last vehicle as an entry of its own.' : null,
        }),
      );
    }
  }
  const [length, bogies, wheelbase] = [
    numberIn(own, 'length_m'),
    numberIn(own, 'bogie_distance_m'),
    numberIn(own, 'bogie_wheelbase_m'),
  ];
  if (length !== null && bogies !== null && wheelbase !== null) {
    // Between two shared bogies a body ends over their middles.
    const needed = bogies + (sharesBoth(vehicles, place) ? 0 : wheelbase);
    if (needed > length || wheelbase >= bogies) {
      faults.push(
        fault([...path, 'bogie_vehicle', 'bogie_distance_m'], 'implausible', {
          found: `bogie distance ${numberText(bogies)} m and wheelbase ${numberText(wheelbase)} m in ${numberText(length)} m`,
          accepted:
            'bogie distance (m) above the wheelbase, and both together within the length (the distance alone between two shared bogies)',
        }),
      );
    }
  }
  return faults;
}

/** Whether a vehicle stands on bogies shared with the vehicles before and behind it. */
function sharesBoth(vehicles: readonly unknown[], place: number): boolean {
  return [place - 1, place].every(
    (index) => member(member(vehicles[index], 'bogie_vehicle'), 'shares_bogie_with_next') === true,
  );
}
