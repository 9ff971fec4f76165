import { type Fault, fault, type Path } from '../../fault.js';
import { scenarioBounds } from '../../schema/bounds.js';
import { numberText } from '../../schema/quantity.js';
import { entries, member, numberIn, textIn } from './lenient.js';
import { supportsById } from './references.js';

/** m: two tracks cannot lie closer, centre to centre. */
const closestTracks = 2;
/** m: radius of gyration of a section about x, far outside any deck. */
const gyration = [0.2, 15] as const;

const both = ['torsional_rigidity_N_m2', 'rotary_inertia_kg_m'] as const;

/** Torsion is given everywhere or nowhere; tracks beside the axis, pairs of bearings and meeting trains need it. */
export function torsionRules(document: unknown): readonly Fault[] {
  const sections = sectionsOf(document);
  const turning = sections.filter(({ value }) => both.some((key) => member(value, key) !== undefined));
  return [
    ...sections.flatMap(({ value, path }) => sectionFaults(value, path, turning.length > 0)),
    ...trackFaults(document, turning.length > 0),
    ...supportFaults(document, turning.length > 0),
    ...vehicleFaults(document),
  ];
}

interface Section {
  readonly value: unknown;
  readonly path: Path;
}

/** Every stretch of deck that has properties of its own. */
function sectionsOf(document: unknown): readonly Section[] {
  return entries(member(document, 'deck'), 'spans').flatMap((span, index): readonly Section[] => {
    const path: Path = ['deck', 'spans', index];
    if (member(span, 'segments') === undefined) return [{ value: span, path }];
    return entries(span, 'segments').map((value, place) => ({ value, path: [...path, 'segments', place] }));
  });
}

function sectionFaults(value: unknown, path: Path, turning: boolean): readonly Fault[] {
  if (typeof value !== 'object' || value === null || !turning) return [];
  const missing = both.filter((key) => member(value, key) === undefined);
  if (missing.length > 0) {
    return missing.map((key) =>
      fault([...path, key], 'belong-together', {
        found: 'nothing, while torsion is given elsewhere',
        accepted: `${both.join(' and ')} for every stretch of the deck, or for none`,
      }),
    );
  }
  const [mass, inertia] = [numberIn(value, 'mass_kg_per_m'), numberIn(value, 'rotary_inertia_kg_m')];
  if (mass === null || inertia === null || mass < 50 || inertia <= 0) return [];
  const radius = Math.sqrt(inertia / mass);
  if (radius >= gyration[0] && radius <= gyration[1]) return [];
  return [
    fault([...path, 'rotary_inertia_kg_m'], 'implausible', {
      found: `${numberText(inertia)} kg m with ${numberText(mass)} kg/m: a radius of gyration of ${numberText(Number(radius.toPrecision(3)))} m`,
      accepted: `mass times the square of a radius of gyration of ${gyration[0]} to ${gyration[1]} m`,
      guess: radius < gyration[0] ? 'Was it given in t m (1000 times too small)?' : null,
    }),
  ];
}

function trackFaults(document: unknown, turning: boolean): readonly Fault[] {
  const tracks = entries(document, 'tracks', scenarioBounds.tracks);
  const faults: Fault[] = [];
  let previous: number | null = null;
  for (const [index, track] of tracks.entries()) {
    const at = numberIn(track, 'eccentricity_m');
    if (at === null) continue;
    const here = ['tracks', index, 'eccentricity_m'];
    if (previous !== null && at < previous + closestTracks) {
      faults.push(
        fault(here, 'not-ascending', {
          found: `${numberText(at)} m after ${numberText(previous)} m`,
          accepted: `tracks from left to right, at least ${closestTracks} m apart`,
        }),
      );
    } else if (at !== 0 && !turning) {
      faults.push(
        fault(here, 'belong-together', {
          found: `${numberText(at)} m on a deck without torsion`,
          accepted: `0 m, or ${both.join(' and ')} for the deck: a load beside the axis twists it`,
        }),
      );
    }
    previous = at;
  }
  if (member(document, 'meeting') !== undefined && tracks.length < 2) {
    faults.push(
      fault(['meeting'], 'not-applicable', {
        found: 'meeting trains on one track',
        accepted: 'meeting only with two or more tracks',
      }),
    );
  }
  return faults;
}

function supportFaults(document: unknown, turning: boolean): readonly Fault[] {
  const supports = entries(document, 'supports');
  const spreadWithoutTorsion = supports.flatMap((support, index) =>
    member(support, 'bearing_spread_m') === undefined || turning
      ? []
      : [
          fault(['supports', index, 'bearing_spread_m'], 'belong-together', {
            found: 'two bearings under a deck without torsion',
            accepted: `bearing_spread_m only with ${both.join(' and ')} for the deck`,
          }),
        ],
  );
  const cases = entries(document, 'damage_cases', scenarioBounds.damageCases);
  const sides = cases.flatMap((one, index) =>
    entries(one, 'effects', scenarioBounds.effectsPerCase).flatMap((effect, place) => {
      if (textIn(effect, 'kind') !== 'bearing-loss' || member(effect, 'side') === undefined) return [];
      const id = textIn(effect, 'support');
      const support = id === null ? undefined : supportsById(document).get(id);
      if (support === undefined || member(support, 'bearing_spread_m') !== undefined) return [];
      return [
        fault(['damage_cases', index, 'effects', place, 'side'], 'not-applicable', {
          found: `one side of ${JSON.stringify(id)}, which has one bearing under the axis`,
          accepted: `no side (the whole support line), or a bearing_spread_m for the support ${JSON.stringify(id)}`,
        }),
      ];
    }),
  );
  return [...spreadWithoutTorsion, ...sides];
}

/** Wheels of vehicles touch one rail line in one plane. */
function vehicleFaults(document: unknown): readonly Fault[] {
  const tracks = entries(document, 'tracks', scenarioBounds.tracks);
  const beside = tracks.length > 1 || tracks.some((track) => numberIn(track, 'eccentricity_m') !== 0);
  if (!beside) return [];
  return entries(document, 'trains', scenarioBounds.trains).flatMap((train, index) =>
    member(train, 'vehicles') === undefined
      ? []
      : [
          fault(['trains', index, 'vehicles'], 'not-applicable', {
            found: 'a train of vehicles on tracks beside the axis',
            accepted:
              'vehicles only on one track on the axis of the deck: their contact with the rail is solved in one vertical plane; give axles here',
          }),
        ],
  );
}
