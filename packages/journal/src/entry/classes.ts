/** Groups of animals whose ammonia is tabulated (class column of the bioload table), by kind of animal. */
const TABULATED = [
  'small_planktivore_clownfish',
  'small_planktivore_damsel_slim',
  'small_planktivore_damsel_deep',
  'goby_typical',
  'dartfish_firefish',
  'blenny',
  'small_wrasse',
  'medium_wrasse',
  'cardinalfish',
  'dottyback_small',
  'basslet_assessor',
  'dwarf_angelfish',
  'large_angelfish',
  'tang_surgeonfish',
  'butterflyfish',
  'toby_small_puffer',
  'porcupinefish',
  'sandperch_hawkfish',
  'goatfish',
  'seahorse',
  'anthias',
  'clownfish_A_ocellaris_standard_length',
  'cleaner_or_peppermint_shrimp',
  'pistol_or_anemone_shrimp',
  'hermit_crab_small',
  'true_crab_small',
  'grazing_snail',
  'carnivorous_scavenger_snail',
  'sea_urchin',
  'brittle_or_small_sea_star',
  'sea_cucumber',
  'small_clam',
  'host_anemone',
  'soft_coral_zoanthid_mushroom',
  'large_polyp_stony_coral',
  'small_polyp_stony_coral',
] as const;

/** Where no more is known of an animal. */
const GENERAL = ['fish', 'crustacean', 'mollusc', 'echinoderm', 'coral', 'anemone'] as const;

/** Every class of animal a journal may name and be understood; others are kept and doubted. */
export const ANIMAL_CLASSES: readonly string[] = [...GENERAL, ...TABULATED];

const known = new Set(ANIMAL_CLASSES);

export const isAnimalClass = (text: string): boolean => known.has(text);
