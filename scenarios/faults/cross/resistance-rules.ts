import { type Fault, fault, type Path } from '../../fault.js';
import { scenarioBounds } from '../../schema/bounds.js';
import { duplicates } from './duplicates.js';
import { entries, member, numberIn } from './lenient.js';
import { unknownSpan, unknownSupport } from './references.js';

/** Resistances for every span and for supports that exist, of the scenario and of each damage case. */
export function resistanceRules(document: unknown): readonly Fault[] {
  const faults: Fault[] = [];
  const resistance = member(document, 'resistance');
  const spans = entries(member(document, 'deck'), 'spans', scenarioBounds.spans).length;
  const given = member(resistance, 'spans');
  const tooMany = Array.isArray(given) && given.length > scenarioBounds.spans;
  if (Array.isArray(given) && !tooMany && spans > 0 && given.length !== spans) {
    faults.push(
      fault(['resistance', 'spans'], 'count-mismatch', {
        found: `${given.length} entries for ${spans} ${spans === 1 ? 'span' : 'spans'}`,
        accepted: `${spans} entries, one per span in order; null where nothing is known`,
      }),
    );
  }
  faults.push(...supportFaults(document, resistance, ['resistance']));
  faults.push(...trackFaults(document, resistance, ['resistance']));
  for (const [index, damageCase] of entries(document, 'damage_cases', scenarioBounds.damageCases).entries()) {
    const own = member(damageCase, 'resistance');
    const path = ['damage_cases', index, 'resistance'];
    faults.push(...supportFaults(document, own, path));
    faults.push(...trackFaults(document, own, path));
    const named = entries(own, 'spans');
    for (const [place, entry] of named.entries()) {
      faults.push(...unknownSpan(document, numberIn(entry, 'span'), [...path, 'spans', place, 'span']));
    }
    faults.push(...duplicates(named, [...path, 'spans'], 'span', 'entry'));
  }
  return faults;
}

function supportFaults(document: unknown, resistance: unknown, path: Path): readonly Fault[] {
  const supports = entries(resistance, 'supports');
  const faults: Fault[] = [...duplicates(supports, [...path, 'supports'], 'id', 'entry')];
  for (const [index, support] of supports.entries()) {
    faults.push(...unknownSupport(document, member(support, 'id'), [...path, 'supports', index, 'id']));
  }
  return faults;
}

/** Moments of a slab or of rails only where there are any. */
function trackFaults(document: unknown, resistance: unknown, path: Path): readonly Fault[] {
  const track = member(document, 'track');
  const layers = [
    ['slab_sagging_kNm', 'slab'],
    ['slab_hogging_kNm', 'slab'],
    ['rail_kNm', 'rail'],
  ] as const;
  return layers.flatMap(([key, layer]) =>
    member(member(resistance, 'track'), key) === undefined || member(track, layer) !== undefined
      ? []
      : [
          fault([...path, 'track', key], 'not-applicable', {
            found: `${key} on a viaduct without track.${layer}`,
            accepted: `${key} only where track.${layer} is given`,
          }),
        ],
  );
}
