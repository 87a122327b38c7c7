import { footprint, type Measures, type Shape, wallLength } from './shapes.ts';

/** Density of glass and of seawater, kg/L. */
const GLASS_KG_PER_L = 2.5;
const SEAWATER_KG_PER_L = 1.025;

/** Walls stand above the water by about this much, cm. */
const FREEBOARD_CM = 5;

/** A tank as it stands filled. */
export type FilledTank = {
  shape: Shape;
  measures: Measures;
  heightCm: number;
  waterLitres: number;
  /** Rock and sand. */
  dryKg: number;
};

/** What a filled tank puts on its base, without its stand: only a reason to ask a structural professional. */
export function floorLoad({ shape, measures, heightCm, waterLitres, dryKg }: FilledTank): {
  massKg: number;
  areaM2: number;
  kgPerM2: number;
} {
  const areaCm2 = footprint(shape, { ...measures, glass: 0 });
  const glassCm3 = (wallLength(shape, measures) * (heightCm + FREEBOARD_CM) + areaCm2) * measures.glass;
  const massKg = SEAWATER_KG_PER_L * waterLitres + dryKg + (GLASS_KG_PER_L * glassCm3) / 1000;
  const areaM2 = areaCm2 / 1e4;
  return { massKg, areaM2, kgPerM2: massKg / areaM2 };
}
