import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type Baseline, baseline } from '../../../worker/regression/baseline-file.js';
import { compareContracts } from '../../../worker/regression/compare-contracts.js';
import { regressionFolder } from '../../../worker/regression/regression-set.js';

const stored = (): Baseline =>
  baseline.parse(JSON.parse(readFileSync(regressionFolder().baselineOf('shear-governs'), 'utf8')));

/** The baseline after a change, compared with itself. */
function moved(change: (copy: Baseline) => void, sweptSpeeds: 'before' | 'common' = 'before') {
  const copy = stored();
  change(copy);
  return compareContracts(stored(), copy, { sweptSpeeds });
}

const firstTrain = (copy: Baseline) => copy.cases[0]!.trains[0]!;
const checkOf = (copy: Baseline, id: string) => firstTrain(copy).checks.find((check) => check.id === id)!;

describe('comparing two results', () => {
  it('finds nothing where nothing moved', () => {
    expect(moved(() => {})).toEqual([]);
  });

  it('calls a move within the tolerance drift, with its size', () => {
    const [movement] = moved((copy) => {
      copy.cases[0]!.frequencies_Hz[0]! *= 1 + 5e-5;
    });
    expect(movement).toMatchObject({ quantity: 'frequency 1, Hz', verdict: 'drift' });
    expect(movement!.relative).toBeCloseTo(5e-5, 7);
  });

  it('calls a move beyond the tolerance a change', () => {
    const movements = moved((copy) => {
      copy.cases[0]!.frequencies_Hz[0]! *= 1 - 2e-4;
    });
    expect(movements.map(({ verdict }) => verdict)).toEqual(['change']);
  });

  it('lets no decision drift', () => {
    const movements = moved((copy) => {
      firstTrain(copy).permitted_speed_kmh! += 5;
      firstTrain(copy).status = 'line-speed';
      firstTrain(copy).governing = 'bending';
    });
    expect(movements.map(({ quantity, verdict }) => [quantity, verdict])).toEqual([
      ['status', 'change'],
      ['permitted_speed_kmh', 'change'],
      ['governing', 'change'],
    ]);
  });

  it('reads the numbers inside a sentence with a tolerance, its words without', () => {
    const words = (text: (before: string) => string) =>
      moved((copy) => {
        firstTrain(copy).reason = text(firstTrain(copy).reason);
      }).map(({ verdict }) => verdict);
    expect(stored().cases[0]!.trains[0]!.reason).toContain('3600');
    expect(words((before) => before.replace('3600', '3601'))).toEqual(['drift']);
    expect(words((before) => before.replace('3600', '3700'))).toEqual(['change']);
    expect(words((before) => before.replace(/span \d/, 'span 9'))).toEqual(['change']);
    expect(words((before) => before.replace('span', 'support'))).toEqual(['change']);
  });

  it('sees a check, a train, a mode or a swept quantity that came or went', () => {
    expect(moved((copy) => firstTrain(copy).checks.pop()).every(({ verdict }) => verdict === 'change')).toBe(
      true,
    );
    expect(moved((copy) => copy.cases[0]!.trains.pop()).length).toBeGreaterThan(20);
    expect(moved((copy) => copy.cases[0]!.frequencies_Hz.push(99)).map(({ quantity }) => quantity)).toEqual([
      'number of frequencies',
      `frequency ${stored().cases[0]!.frequencies_Hz.length + 1}, Hz`,
    ]);
    const added = moved((copy) => {
      firstTrain(copy).sweep.new_kN = firstTrain(copy).sweep.speed_kmh.map(() => 1);
      firstTrain(copy).sweep_peaks.new_kN = 1;
    });
    expect(added.map(({ quantity }) => quantity)).toEqual(['largest new_kN']);
  });

  it('misses a speed that was asked for and is not there, but not a refined one of two results', () => {
    const without = (copy: Baseline) => {
      const { sweep } = firstTrain(copy);
      for (const key of Object.keys(sweep)) sweep[key] = sweep[key]!.slice(1);
    };
    const missing = moved(without);
    expect(missing.length).toBeGreaterThan(5);
    expect(missing.every(({ now, verdict }) => now === undefined && verdict === 'change')).toBe(true);
    expect(moved(without, 'common')).toEqual([]);
  });

  it('judges a value that was zero by the absolute tolerance alone', () => {
    const pull = (value: number) =>
      moved((copy) => {
        checkOf(copy, 'bearing-uplift').value = value;
      });
    expect(checkOf(stored(), 'bearing-uplift').value).toBe(0);
    expect(pull(0.05)).toMatchObject([{ relative: null, verdict: 'drift' }]);
    expect(pull(0.2)).toMatchObject([{ relative: null, verdict: 'change' }]);
  });

  it('watches the stretch of a recommendation, to the millimetre and without chainages', () => {
    const stretched = (to: number | undefined) => (copy: Baseline) => {
      for (const given of copy.recommendations) given.to_m = to;
    };
    const to = stored().recommendations[0]!.to_m!;
    const verdicts = (now: number) => new Set(moved(stretched(now)).map(({ verdict }) => verdict));
    expect(verdicts(to + 0.0005)).toEqual(new Set(['drift']));
    expect(verdicts(to - 0.01)).toEqual(new Set(['change']));
    const [movement] = moved(stretched(to - 0.01));
    expect(movement).toMatchObject({ quantity: 'to_m', before: to, now: to - 0.01 });
  });

  it('takes a former result without the stretch for one that says nothing of it, but misses one that is gone', () => {
    const without = stored();
    for (const given of without.recommendations) {
      delete given.from_m;
      delete given.to_m;
    }
    const options = { sweptSpeeds: 'before' } as const;
    expect(compareContracts(without, stored(), options)).toEqual([]);
    const gone = compareContracts(stored(), without, options);
    expect(gone[0]).toMatchObject({ quantity: 'from_m', now: undefined, verdict: 'change' });
  });

  it('says in one line that one of them covers a selection only', () => {
    const selected = (damage_cases: string[]) => (copy: Baseline) => {
      copy.selection = { damage_cases, trains: ['unit'] };
    };
    expect(moved(selected(['b', 'a']))).toMatchObject([
      { quantity: 'selection', before: null, now: 'damage cases a, b; trains unit', verdict: 'change' },
    ]);
    const one = stored();
    const other = stored();
    selected(['a', 'b'])(one);
    selected(['b', 'a'])(other);
    expect(compareContracts(one, other, { sweptSpeeds: 'before' })).toEqual([]);
  });
});
