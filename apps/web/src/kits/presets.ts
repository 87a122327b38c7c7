import type { KitBody } from '@brinewright/journal';

/**
 * Kits by what they do, never by who makes them. Steps are those common to many cards of drop kits; a meter's
 * resolution is the last digit it shows. A kit that differs is described by its owner in the Workshop.
 */
export const PRESETS = [
  { kit: 'ammonia-card', analyte: 'ammonia', as: 'NH4', steps: [0, 0.25, 0.5, 1, 2, 4, 8] },
  { kit: 'nitrite-card', analyte: 'nitrite', as: 'NO2', steps: [0, 0.25, 0.5, 1, 2, 5] },
  { kit: 'nitrate-card', analyte: 'nitrate', as: 'NO3', steps: [0, 5, 10, 20, 40, 80, 160] },
  { kit: 'ammonia-photometer', analyte: 'ammonia', as: 'N', resolution: 0.01 },
  { kit: 'nitrite-photometer', analyte: 'nitrite', as: 'N', resolution: 0.001 },
  { kit: 'nitrate-photometer', analyte: 'nitrate', as: 'NO3', resolution: 0.1 },
  { kit: 'pH-probe', analyte: 'pH', resolution: 0.01 },
  { kit: 'alkalinity-drops', analyte: 'alkalinity', resolution: 0.1 },
] as const satisfies readonly KitBody[];

export type PresetName = (typeof PRESETS)[number]['kit'];

/** Those most people start with. */
export const USUAL: readonly PresetName[] = ['ammonia-card', 'nitrite-card', 'nitrate-card'];
