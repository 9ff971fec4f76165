/** Numbers per mode that `linearRecurrence` writes. */
export const linearCoefficients = 8;

/**
 * Exact step of q'' + 2 zeta w q' + w^2 q = p(t) for p linear over the step, from its values at both ends alone, which is what a
 * force needs that is only being found: N. C. Nigam and P. C. Jennings, Bulletin of the Seismological Society of America 59(2), 1969.
 *
 * q1 = a[0] q0 + a[1] v0 + a[2] p0 + a[3] p1;  v1 = a[4] q0 + a[5] v0 + a[6] p0 + a[7] p1.
 */
export function linearRecurrence(
  angularFrequency: number,
  dampingRatio: number,
  timeStep: number,
  target: Float64Array,
  offset: number,
): void {
  const w = angularFrequency;
  const z = dampingRatio;
  const h = timeStep;
  const damped = w * Math.sqrt(1 - z * z);
  const decay = Math.exp(-z * w * h);
  const sine = decay * Math.sin(damped * h);
  const cosine = decay * Math.cos(damped * h);
  const a11 = cosine + (z * w * sine) / damped;
  const a12 = sine / damped;
  const a21 = (-w * w * sine) / damped;
  const a22 = cosine - (z * w * sine) / damped;
  const square = w * w;
  // Particular solution for p0 + (p1 - p0) t / h: q = p / w^2 - lag (p1 - p0) / h; the free part starts from what is left.
  const lag = (2 * z) / (square * w * h);
  target[offset] = a11;
  target[offset + 1] = a12;
  target[offset + 2] = -a11 * (1 / square + lag) + a12 / (square * h) + lag;
  target[offset + 3] = a11 * lag - a12 / (square * h) + 1 / square - lag;
  target[offset + 4] = a21;
  target[offset + 5] = a22;
  target[offset + 6] = -a21 * (1 / square + lag) + a22 / (square * h) - 1 / (square * h);
  target[offset + 7] = a21 * lag - a22 / (square * h) + 1 / (square * h);
}
