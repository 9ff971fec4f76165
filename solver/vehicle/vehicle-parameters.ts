/** One vehicle of a train as its maker describes it; symmetric about its middle. */
export type VehicleParameters = BogieVehicle | SprungMass;

/** A body on two bogies of two wheelsets each. */
export interface BogieVehicle {
  readonly kind: 'bogie-vehicle';
  /** Over couplers. */
  readonly length: number;
  readonly bodyMass: number;
  readonly bodyPitchInertia: number;
  /** Between bogie centres. */
  readonly bogieDistance: number;
  readonly bogieMass: number;
  readonly bogiePitchInertia: number;
  /** Between the wheelsets of a bogie. */
  readonly bogieWheelbase: number;
  readonly wheelsetMass: number;
  /** Per wheelset. */
  readonly primaryStiffness: number;
  readonly primaryDamping: number;
  /** Per bogie and body. */
  readonly secondaryStiffness: number;
  readonly secondaryDamping: number;
  /** Per wheelset. */
  readonly contactStiffness: number;
  /** The rear bogie also carries the next vehicle's front end. */
  readonly sharesBogieWithNext: boolean;
  /** Whose bogie that is, with its wheelsets and springs to them; absent: this vehicle's. */
  readonly sharedBogieOf?: 'next';
  /** Comfort is judged over both bogies and in the middle of the body. */
  readonly passengers: boolean;
}

/** A mass on a spring and a dashpot on one wheelset. */
export interface SprungMass {
  readonly kind: 'sprung-mass';
  readonly length: number;
  readonly mass: number;
  readonly stiffness: number;
  readonly damping: number;
  readonly wheelsetMass: number;
  readonly contactStiffness: number;
  readonly passengers: boolean;
}
