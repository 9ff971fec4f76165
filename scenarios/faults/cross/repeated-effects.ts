import { type Fault, fault, type Path, pointerOf } from '../../fault.js';
import { textIn } from './lenient.js';

const onSupports = ['support-stiffness-loss', 'support-settlement', 'bearing-loss'];

/**
 * One kind of effect comes once per support and case: of two settlements nobody can tell whether the second adds to the first or
 * corrects it. Two bearings of one support may be lost by two effects. Stretches may overlap, their losses multiply.
 */
export function repeatedEffects(effects: readonly unknown[], path: Path): readonly Fault[] {
  const faults: Fault[] = [];
  const earlier = new Map<string, { readonly place: number; readonly side: string | null }[]>();
  for (const [place, effect] of effects.entries()) {
    const kind = textIn(effect, 'kind');
    const support = textIn(effect, 'support');
    if (kind === null || support === null || !onSupports.includes(kind)) continue;
    const key = JSON.stringify([kind, support]);
    const side = textIn(effect, 'side');
    const same = earlier.get(key) ?? [];
    const first = same.find((other) => other.side === null || side === null || other.side === side);
    if (first)
      faults.push(
        fault([...path, place, 'support'], 'repeated-effect', {
          found: `${kind} of ${JSON.stringify(support)}, already given at ${pointerOf([...path, first.place])}`,
          accepted: `${kind} once for ${kind === 'bearing-loss' ? 'a bearing' : 'a support'} in a case, with all that has happened to it`,
        }),
      );
    earlier.set(key, [...same, { place, side }]);
  }
  return faults;
}
