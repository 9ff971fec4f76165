/** Load models of the library by the name that a scenario gives them. */
export const hslmAIds = [
  'HSLM-A1',
  'HSLM-A2',
  'HSLM-A3',
  'HSLM-A4',
  'HSLM-A5',
  'HSLM-A6',
  'HSLM-A7',
  'HSLM-A8',
  'HSLM-A9',
  'HSLM-A10',
] as const;
export type HslmAId = (typeof hslmAIds)[number];

export const wagonIds = ['A', 'B1', 'B2', 'C2', 'C3', 'C4', 'D2', 'D3', 'D4', 'E4', 'E5'] as const;
export type WagonId = (typeof wagonIds)[number];

export const staticLoadModelIds = ['LM71', 'SW/0', 'SW/2'] as const;
export type StaticLoadModelId = (typeof staticLoadModelIds)[number];

export const loadModelIds = [...hslmAIds, 'HSLM-B', ...staticLoadModelIds, ...wagonIds] as const;
export type LoadModelId = (typeof loadModelIds)[number];
