import type { CheckId } from '../../scenarios/result.js';
import type { ReleasedDeadLoad } from '../../solver/statics/lift-off.js';
import type { Mechanism } from '../../solver/statics/mechanism.js';
import type { Finding } from '../checks/check.js';
import { printedUnit } from '../report/quantity.js';

/** The checks as an operator would say them. */
const names: Readonly<Record<CheckId, string>> = {
  'deck-acceleration': 'deck acceleration',
  'deck-deflection': 'deck deflection',
  'end-rotation': 'rotation of the deck end',
  'joint-step': 'step at the joint',
  'fastening-uplift': 'pull on the rail fastenings',
  'bearing-uplift': 'uplift at the bearings',
  'support-reaction': 'load on the support',
  bending: 'bending of the deck',
  shear: 'shear of the deck',
  'slab-bending': 'bending of the track slab',
  'rail-bending': 'bending of the rails',
  'deck-twist': 'twist of the deck',
  'wheel-unloading': 'wheel unloading',
  'track-geometry': 'track level after the damage',
  equilibrium: 'equilibrium',
  'body-acceleration': 'acceleration of the car body',
  'ride-comfort': 'ride comfort',
};

export const checkName = (id: CheckId): string => names[id];

/**
 * "value against limit unit (span 3)": three significant figures, or as many as it takes to tell the two apart.
 *
 * @param unit as the result file has it ("m/s2"); "-" of a share is not said
 */
export function describeFinding(finding: Finding, unit: string): string {
  const said = unit === '-' ? '' : ` ${printedUnit(unit)}`;
  const place = finding.where ? ` (${finding.where})` : '';
  for (let digits = 3; ; digits++) {
    const [value, limit] = [finding.value, finding.limit].map((number) =>
      String(Number(number.toPrecision(digits))),
    );
    if (value !== limit || digits === 8) return `${value} against ${limit}${said}${place}`;
  }
}

export function describeMechanism({ spans, lostSupports, turns, loosePanels }: Mechanism): string {
  if (loosePanels.length > 0) {
    const stretches = loosePanels.map(({ from, to }) => `from ${from.toFixed(1)} to ${to.toFixed(1)} m`);
    return `The slab lies loose ${listed(stretches)}: neither bedding nor fastenings hold it`;
  }
  const moving =
    spans.length === 1 ? `Span ${spans[0]! + 1}` : `Spans ${listed(spans.map((span) => String(span + 1)))}`;
  const cause =
    lostSupports.length > 0 ? ` without ${listed(lostSupports.map((id) => `support ${id}`))}` : '';
  const them = spans.length === 1 ? 'it' : 'them';
  const holds = turns ? `keeps ${them} from turning over sideways` : `holds ${them} in equilibrium`;
  return `${moving} cannot stand${cause}: nothing ${holds}`;
}

export function describeLiftOff({ lifted, mechanism, state: atRest }: ReleasedDeadLoad): string {
  const supports = [...new Set(lifted.map(({ support }) => support))];
  const name = (id: string) => {
    const sides = new Set(lifted.filter(({ support }) => support === id).map(({ side }) => side));
    const [side] = sides;
    return sides.size > 1 || side === 'only' ? `support ${id}` : `the ${side} bearing of support ${id}`;
  };
  const after = mechanism
    ? `, and without ${supports.length === 1 ? 'it' : 'them'} the deck cannot stand`
    : atRest
      ? ''
      : ', and what it would come to rest on could not be settled';
  return `Dead load alone lifts the deck off ${listed(supports.map(name)) || 'its bearings'}${after}`;
}

/** The first of what has to be supplied, and how much more. */
export function firstOf(missing: readonly string[]): string {
  return listed(missing.length > 3 ? [...missing.slice(0, 3), `${missing.length - 3} more`] : missing);
}

/**
 * Behind a reason, what of the strength it does not speak for; nothing where there was all evidence.
 *
 * @param compared whether any load was compared with any strength
 */
export function uncheckedStrength(missing: readonly string[], compared: boolean): string {
  if (missing.length === 0) return '';
  return ` Strength was not checked ${compared ? 'in full' : 'at all'}: ${firstOf(missing)} not given.`;
}

/** A sentence that goes on behind a colon. Those of this file begin with no name. */
export const behindColon = (sentence: string): string => sentence.charAt(0).toLowerCase() + sentence.slice(1);

/** Behind a reason, which supports it takes to carry what they could before the damage; nothing where there are none. */
export function judgedAsBuilt(supports: readonly string[]): string {
  const names = listed(supports);
  return supports.length === 0
    ? ''
    : ` This takes ${supports.length === 1 ? 'support' : 'supports'} ${names} to carry as much as before the damage: have that confirmed.`;
}

export function listed(items: readonly string[]): string {
  return items.length < 2
    ? items.join('')
    : `${items.slice(0, -1).join(', ')} and ${items[items.length - 1]}`;
}
