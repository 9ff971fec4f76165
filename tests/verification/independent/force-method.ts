import { Matrix, solve } from 'ml-matrix';

/** A continuous beam with stepwise rigidity and load on rigid or elastic supports; the first and last support are its ends. */
export interface ElasticBeam {
  readonly pieces: readonly {
    readonly from: number;
    readonly to: number;
    readonly flexuralRigidity: number;
    /** N/m downwards. */
    readonly load: number;
  }[];
  readonly supports: readonly {
    readonly x: number;
    /** m/N; 0 is rigid. */
    readonly flexibility: number;
  }[];
  readonly forces?: readonly { readonly x: number; readonly load: number }[];
}

export interface ForceMethodSolution {
  /** Upwards positive. */
  readonly reactions: readonly number[];
  momentAt(x: number): number;
  /** Just beside x when a force or support stands at x: approach it from the side meant. */
  shearAt(x: number): number;
  deflectionAt(x: number): number;
}

/**
 * Statics by the force method (J. C. Maxwell, O. Mohr): the inner supports are the redundants of a simple beam, compatibility by
 * virtual work. The integrands are cubic between break points, so that Simpson's rule is exact.
 */
export function solveByForceMethod(beam: ElasticBeam): ForceMethodSolution {
  const { supports, pieces, forces = [] } = beam;
  const start = supports[0]!;
  const end = supports[supports.length - 1]!;
  const length = end.x - start.x;
  const inner = supports.slice(1, -1);
  const breaks = (x: number) =>
    [
      ...pieces.flatMap(({ from, to }) => [from, to]),
      ...supports.map((one) => one.x),
      ...forces.map((one) => one.x),
      x,
    ]
      .sort((a, b) => a - b)
      .filter((value, index, all) => index === 0 || value - all[index - 1]! > 1e-12);

  /** Moment at s of the simple beam under a unit force at x, downwards. */
  const unitMoment = (x: number, s: number) =>
    ((s < x ? s - start.x : x - start.x) * (s < x ? end.x - x : end.x - s)) / length;

  const primary = simpleBeamReactions(beam, start.x, end.x);
  const external = (s: number) => {
    let moment = primary.left * (s - start.x);
    for (const { from, to, load } of pieces) {
      const reach = Math.min(s, to) - from;
      if (reach > 0) moment -= load * reach * (s - from - reach / 2);
    }
    for (const { x, load } of forces) if (s > x) moment -= load * (s - x);
    return moment;
  };

  const deflectionUnder = (moment: (s: number) => number, left: number, right: number, x: number) => {
    const share = (x - start.x) / length;
    let sum = left * start.flexibility * (1 - share) + right * end.flexibility * share;
    const points = breaks(x);
    for (let k = 0; k + 1 < points.length; k++) {
      const a = points[k]!;
      const b = points[k + 1]!;
      const middle = (a + b) / 2;
      const piece = pieces.find(({ from, to }) => middle > from && middle < to)!;
      const product = (s: number) => moment(s) * unitMoment(x, s);
      sum += ((b - a) * (product(a) + 4 * product(middle) + product(b))) / (6 * piece.flexuralRigidity);
    }
    return sum;
  };

  const shares = inner.map(({ x }) => (x - start.x) / length);
  let redundants: number[] = [];
  if (inner.length > 0) {
    const flexibility = Matrix.zeros(inner.length, inner.length);
    const gaps = Matrix.zeros(inner.length, 1);
    inner.forEach((at, i) => {
      gaps.set(i, 0, deflectionUnder(external, primary.left, primary.right, at.x));
      inner.forEach((by, j) => {
        const value = deflectionUnder((s) => unitMoment(by.x, s), 1 - shares[j]!, shares[j]!, at.x);
        flexibility.set(i, j, value + (i === j ? at.flexibility : 0));
      });
    });
    redundants = solve(flexibility, gaps).to1DArray();
  }
  const left = primary.left - redundants.reduce((sum, r, j) => sum + r * (1 - shares[j]!), 0);
  const right = primary.right - redundants.reduce((sum, r, j) => sum + r * shares[j]!, 0);
  const momentAt = (s: number) =>
    external(s) - redundants.reduce((sum, r, j) => sum + r * unitMoment(inner[j]!.x, s), 0);
  const reactions = [left, ...redundants, right];
  return {
    reactions,
    momentAt,
    shearAt: (x) => {
      let shear = 0;
      supports.forEach((one, index) => {
        if (one.x < x) shear += reactions[index]!;
      });
      for (const { from, to, load } of pieces) if (x > from) shear -= load * (Math.min(x, to) - from);
      for (const force of forces) if (force.x < x) shear -= force.load;
      return shear;
    },
    deflectionAt: (x) => deflectionUnder(momentAt, left, right, x),
  };
}

function simpleBeamReactions({ pieces, forces = [] }: ElasticBeam, from: number, to: number) {
  const loads = [
    ...pieces.map((piece) => ({
      x: (piece.from + piece.to) / 2,
      load: piece.load * (piece.to - piece.from),
    })),
    ...forces,
  ];
  const right = loads.reduce((sum, { x, load }) => sum + (load * (x - from)) / (to - from), 0);
  return { left: loads.reduce((sum, { load }) => sum + load, 0) - right, right };
}
