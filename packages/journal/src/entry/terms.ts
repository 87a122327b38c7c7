/** The words of the trade a journal is written in. */

export const ANALYTES = [
  'ammonia',
  'nitrite',
  'nitrate',
  'pH',
  'alkalinity',
  'salinity',
  'temperature',
  'phosphate',
  'calcium',
  'magnesium',
  'oxygen',
] as const;
export type Analyte = (typeof ANALYTES)[number];

/** Which ion a nitrogen number counts: the same water reads 1 as N, 4.43 as NO3. */
export const NITROGEN_BASES = ['N', 'NH3', 'NH4', 'NO2', 'NO3'] as const;
export type NitrogenBasis = (typeof NITROGEN_BASES)[number];

export const ROUTES = [
  'salt',
  'salt+culture',
  'organic',
  'mature-media',
  'animals',
  'animals+culture',
] as const;
export type Route = (typeof ROUTES)[number];

export const MATERIALS = ['dry-rock', 'live-rock', 'sand', 'ceramic', 'plastic-media'] as const;
export const SUBSTANCES = [
  'ammonium-chloride',
  'ammonia-solution',
  'bicarbonate',
  'carbonate',
  'calcium',
  'magnesium',
  'phosphate',
  'binder',
  'other',
] as const;
export const CULTURE_SOURCES = ['bottled', 'mature-media', 'live-rock', 'live-sand', 'unknown'] as const;
export const FOODS = ['flake', 'pellet', 'frozen', 'fresh-tissue', 'other'] as const;
export const POSTURE_ITEMS = [
  'light',
  'skimmer',
  'uv',
  'ozone',
  'sock',
  'carbon',
  'heater',
  'flow',
  'aeration',
  'topoff',
  'refugium',
] as const;
