import { describe, expect, it } from 'vitest';
import { damageMatrixChart, matrixColumns } from '../../../worker/report/charts/damage-matrix-chart.js';
import { deflectedShapeChart } from '../../../worker/report/charts/deflected-shape-chart.js';
import { bendingEnvelopeChart } from '../../../worker/report/charts/envelope-chart.js';
import { lineChart } from '../../../worker/report/charts/line-chart.js';
import { modeShapeChart } from '../../../worker/report/charts/mode-shape-chart.js';
import { speedSweepChart } from '../../../worker/report/charts/speed-sweep-chart.js';
import { resistanceCurves } from '../../../worker/report/resistance-curves.js';
import { lostSupports, readScenarioFacts } from '../../../worker/report/scenario-facts.js';
import { exampleResult, exampleScenario } from './example-result.js';

const facts = readScenarioFacts(exampleScenario);
const result = exampleResult();
const caseOf = (id: string) => result.cases.find((one) => one.damage_case === id)!;
const restricted = caseOf('P2-softened').trains[0]!;
const marks = { supports: facts.supports, lost: lostSupports(facts.effects.get('P2-lost')!) };

describe('the speed sweep picture', () => {
  const picture = speedSweepChart({
    id: 'p',
    train: restricted,
    quantity: 'deck_acceleration_m_per_s2',
    lineSpeedKmh: 200,
    subject: 'test',
  }).text;

  it('marks the permitted speed, the line speed, each resonance speed and the blocked band', () => {
    expect(picture).toContain('>permitted 150<');
    expect(picture).toContain('>line 200<');
    // Three resonance speeds and one sample in the legend.
    expect(picture.match(/stroke-dasharray="1 3"/g)).toHaveLength(4);
    expect(picture.match(/url\(#p-hatch\)/g)).toHaveLength(2);
  });

  it('tells the peak, the limit, the band and the decision in its description', () => {
    expect(picture).toContain('Deck acceleration is largest, 6.77 m/s², at 190 km/h.');
    expect(picture).toContain('Limit 5.00 m/s² up to 350 km/h.');
    expect(picture).toContain('Permitted speed 150 km/h.');
    expect(picture).toContain('Blocked bands: 182 to 198 km/h.');
  });

  it('says where the train alone is swept while the check beside it adds the dead load', () => {
    const draw = (quantity: string) =>
      speedSweepChart({
        id: 'p',
        train: { ...restricted, sweep: { speed_kmh: [10, 20], [quantity]: [700, 702] } },
        quantity,
        lineSpeedKmh: 200,
        subject: 'test',
      }).text;
    for (const [quantity, title] of [
      ['shear_kN', 'Shear, train alone (kN)'],
      ['bending_hogging_kNm', 'Bending hogging, train alone (kNm)'],
      ['support_reaction_kN', 'Support reaction, train alone (kN)'],
      ['slab_bending_kNm', 'Slab bending, train alone (kNm)'],
    ] as const)
      expect(draw(quantity)).toContain(`>${title}<`);
    expect(draw('deck_acceleration_m_per_s2')).not.toContain('train alone');
  });

  it('draws a limit that steps down with speed as a step', () => {
    const joint = speedSweepChart({
      id: 'p',
      train: restricted,
      quantity: 'joint_step_mm',
      lineSpeedKmh: 200,
      subject: 'test',
    }).text;
    const path = joint.match(/<path d="([^"]*)"[^>]*stroke-dasharray="10 3 2 3"/)?.[1] ?? '';
    const points = path
      .slice(1)
      .split('L')
      .map((point) => point.split(',').map(Number));
    expect(points).toHaveLength(4);
    expect(points[1]![0]).toBe(points[2]![0]);
    expect(points[2]![1]!).toBeGreaterThan(points[1]![1]!);
  });
});

it('draws a narrow blocked band at least two units wide, so that it is never lost', () => {
  const picture = lineChart({
    id: 'p',
    title: 't',
    description: 'd',
    width: 520,
    height: 270,
    xLabel: 'x',
    yLabel: 'y',
    series: [{ label: 'a', x: [0, 1000], y: [0, 1], role: 'primary' }],
    bands: { label: 'b', ranges: [{ from: 500, to: 500.1 }] },
  }).text;
  expect(picture).toMatch(/<rect [^>]*width="2" [^>]*fill="url\(#p-hatch\)"/);
});

it('draws deflection downwards: a larger deflection stands lower', () => {
  const draw = (y: readonly number[]): number => {
    const picture = lineChart({
      id: 'p',
      title: 't',
      description: 'd',
      width: 520,
      height: 270,
      xLabel: 'x',
      yLabel: 'y',
      series: [
        { label: 'a', x: [0, 1], y, role: 'primary' },
        { label: 'b', x: [0, 1], y: [10, 10], role: 'secondary' },
      ],
      yDownwards: true,
    }).text;
    return Number(picture.match(/<path d="M[\d.]+,([\d.]+)L/)?.[1]);
  };
  expect(draw([8, 8])).toBeGreaterThan(draw([2, 2]));
});

it('crosses out the support that is lost and no other', () => {
  const statics = caseOf('P2-lost').statics!;
  const picture = deflectedShapeChart({
    id: 'p',
    subject: 't',
    statics,
    intact: caseOf('intact').statics,
    released: null,
    marks,
  }).text;
  expect(picture.match(/<polygon [^>]*stroke-dasharray/g)).toHaveLength(1);
  expect(picture.match(/<polygon /g)).toHaveLength(10);
  expect(picture).toContain('Lost supports: P2.');
  const [joint] = [...picture.matchAll(/<path d="M[\d.]+,([\d.]+)v14/g)].map(([, top]) => Number(top));
  const names = [...picture.matchAll(/y="([\d.]+)" text-anchor="middle" font-size="11"/g)];
  expect(names.length).toBeGreaterThan(3);
  // Three units of descent below the line on which a name stands.
  for (const [, name] of names) expect(Number(name) + 3).toBeLessThanOrEqual(joint!);
});

it('names a lost support of a long viaduct, and not the one that stands too close to it', () => {
  const { statics } = caseOf('P2-softened');
  const supports = Array.from({ length: 61 }, (_, index) => ({
    id: `P${index}`,
    xM: (index * facts.supports.at(-1)!.xM) / 60,
    joint: false,
  }));
  const marksOf = (lost: string[]) => ({ supports, lost: new Set(lost) });
  const shape = { id: 'p', subject: 't', statics: statics!, intact: null, released: null };
  const namesWith = (lost: string[]) =>
    [...deflectedShapeChart({ ...shape, marks: marksOf(lost) }).text.matchAll(/>(P\d+)<\/text>/g)].map(
      ([, name]) => name,
    );
  expect(namesWith([])).toEqual(expect.arrayContaining(['P0', 'P2', 'P60']));
  expect(namesWith(['P3'])).toEqual(expect.arrayContaining(['P0', 'P3', 'P60']));
  expect(namesWith(['P3'])).not.toContain('P2');
  expect(namesWith(['P3'])).not.toContain('P4');
});

it('leaves the supports of a long viaduct legible by naming only as many as there is room for', () => {
  const supports = Array.from({ length: 61 }, (_, index) => ({
    id: `P${index}`,
    xM: (index * facts.supports.at(-1)!.xM) / 60,
    joint: false,
  }));
  const picture = modeShapeChart({
    id: 'p',
    subject: 't',
    shapes: [{ frequency_Hz: 3, x_m: [0, 1800], deck: [0, 1] }],
    marks: { supports, lost: new Set(['P31']) },
    participation: null,
  }).text;
  const named = [...picture.matchAll(/>(P\d+)</g)].map((match) => match[1]);
  expect(named.length).toBeLessThan(25);
  expect(named).toContain('P31');
});

it('shows bending resistance where it is known, and a gap at a span whose resistance the damage made unknown', () => {
  const curves = resistanceCurves(exampleScenario, 'S8-cracked', facts.supports);
  expect(curves.map((curve) => curve.y[0])).toEqual([26000, -24000]);
  for (const curve of curves) {
    expect(curve.y.slice(14, 16)).toEqual([Number.NaN, Number.NaN]);
    expect(curve.y.filter(Number.isFinite)).toHaveLength(16);
  }
  const envelope = restricted.envelope!;
  const picture = bendingEnvelopeChart({ id: 'p', envelope, marks, subject: 't', limits: curves }).text;
  expect(picture.match(/<path d="M[^"]*M[^"]*"[^>]*stroke-dasharray="10 3 2 3"/g)).toHaveLength(2);
});

it('shows every case and train of the matrix in its own words', () => {
  const picture = damageMatrixChart('p', result).text;
  expect(picture.match(/>closed</g)).toHaveLength(6);
  expect(picture.match(/>keep closed</g)).toHaveLength(3);
  expect(picture).toContain(
    'P2-softened (Scour at pier P2): HSLM-A1 restricted, 150 km/h; stopping-train restricted, 150 km/h;',
  );
});

it('spreads many trains over pictures of at most six columns, each train in one of them', () => {
  const named = Array.from({ length: 13 }, (_, index) => ({ ...restricted, train: `train ${index + 1}` }));
  const many = { ...result, cases: [{ ...caseOf('intact'), trains: named }, caseOf('P2-lost')] };
  const groups = matrixColumns(many);
  expect(groups.flat().map(({ train }) => train)).toEqual(
    [...named, ...caseOf('P2-lost').trains].map(({ train }) => train),
  );
  expect(Math.max(...groups.map((group) => group.length))).toBeLessThanOrEqual(6);
  const last = damageMatrixChart('p', many, groups.at(-1)).text;
  expect(last).toContain('<text x="4"');
  expect(last).not.toContain('train 1 ');
  expect(matrixColumns(result)).toHaveLength(1);
});

describe('a row of the matrix', () => {
  /** Everything written to the left of the cells, line by line. */
  const rowNames = (picture: string) =>
    [...picture.matchAll(/<text x="4"[^>]*>([^<]*)</g)].map((match) => match[1] ?? '');

  it('is named by the whole id of its case, so that two that begin alike stay apart', () => {
    const ids = ['Pier struck by a barge from the north side', 'Pier struck by a barge from the south side'];
    const cases = ids.map((id) => ({ ...caseOf('P2-softened'), damage_case: id, title: null }));
    const names = rowNames(damageMatrixChart('p', { ...result, cases }).text);
    expect(names.join(' ')).toBe(ids.join(' '));
  });

  it('carries the title of its case below the id, cut off where there is no room', () => {
    const cases = [
      { ...caseOf('P2-softened'), title: 'Scour at pier P2' },
      { ...caseOf('P2-lost'), title: 'Pier P2 lost to the flood of the second week' },
      caseOf('intact'),
    ];
    expect(rowNames(damageMatrixChart('p', { ...result, cases }).text)).toEqual([
      'P2-softened',
      'Scour at pier P2',
      'P2-lost',
      'Pier P2 lost to the flood of the…',
      'intact',
    ]);
  });
});

it('heads each column of the matrix by the whole name of its train', () => {
  const name = 'Night mail with postal vans and a locomotive at each end ok';
  const picture = damageMatrixChart('p', {
    ...result,
    cases: [{ ...caseOf('intact'), trains: [{ ...restricted, train: name }] }],
  }).text;
  const head = [...picture.matchAll(/text-anchor="middle" font-weight="600">([^<]*)</g)].map(
    ([, text]) => text,
  );
  expect(head.join(' ')).toBe(name);
});

it('draws a curve without length, a single point or a constant zero without failing', () => {
  for (const [x, y] of [
    [[], []],
    [[3], [4]],
    [
      [0, 1],
      [0, 0],
    ],
  ] as const) {
    const picture = lineChart({
      id: 'p',
      title: 't',
      description: 'd',
      width: 520,
      height: 270,
      xLabel: 'x',
      yLabel: 'y',
      series: [{ label: 'a', x, y, role: 'primary' }],
    }).text;
    expect(picture).toContain('<svg');
    expect(picture).not.toContain('NaN');
  }
});
