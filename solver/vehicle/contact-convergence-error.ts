/** Contact forces and deflections of one step did not agree within the iterations allowed. */
export class ContactConvergenceError extends Error {
  readonly iterations: number;
  readonly residual: number;
  readonly tolerance: number;
  constructor(iterations: number, residual: number, tolerance: number) {
    super(
      `wheel forces did not settle within ${iterations} iterations of a time step (last change ${residual} N, tolerance ${tolerance} N): take a smaller time step`,
    );
    this.name = 'ContactConvergenceError';
    this.iterations = iterations;
    this.residual = residual;
    this.tolerance = tolerance;
  }
}
