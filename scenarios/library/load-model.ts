/** An axle row of the library, before a scenario gives it a name. SI units. */
export interface AxleRow {
  /** Distance of each axle behind the leading one, ascending from 0, m. */
  readonly positions: readonly number[];
  /** Static axle loads, N. */
  readonly loads: readonly number[];
  readonly source: string;
}
