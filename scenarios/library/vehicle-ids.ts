export const vehicleIds = [
  'multiple-unit-car',
  'locomotive',
  'bogie-wagon-loaded',
  'bogie-wagon-empty',
] as const;
export type VehicleId = (typeof vehicleIds)[number];
