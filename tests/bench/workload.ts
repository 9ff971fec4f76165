/** One workload: does the whole work once and says how much it was. */
export interface Workload {
  readonly id: string;
  readonly title: string;
  readonly run: () => Readonly<Record<string, number>>;
}

/** What `npm run bench` writes and `bench:compare` reads; seconds. */
export interface Measurement {
  readonly id: string;
  readonly title: string;
  readonly work: Readonly<Record<string, number>>;
  readonly samples: number;
  readonly median: number;
  readonly lowest: number;
  readonly highest: number;
}
