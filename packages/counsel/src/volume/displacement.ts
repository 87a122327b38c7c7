import type { Measured } from '@brinewright/seawater';

/**
 * Litres of water a kilogram of dry aquarium rock takes the place of: its solid (2.7–2.9 kg/L) and the pores water
 * never enters. Our judgement; weigh a bucket filled to a mark with and without the rock to know.
 */
export const ROCK_LITRES_PER_KG: Measured = { value: 0.42, sd: 0.06 };

/** The same for sand, whose grains are solid carbonate (2.7–2.9 kg/L) or quartz (2.65). Our judgement. */
export const SAND_LITRES_PER_KG: Measured = { value: 0.37, sd: 0.02 };
