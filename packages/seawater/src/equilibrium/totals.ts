/** Total sulfate, mol/kg-sw, of seawater of this salinity [MR66]. Check: 35 → 0.02823543. */
export const totalSulfate = (salinity: number): number => ((0.14 / 96.062) * salinity) / 1.80655;

/** Total fluoride, mol/kg-sw [R65]. Check: 35 → 6.833e-5. */
export const totalFluoride = (salinity: number): number => ((0.000067 / 18.998) * salinity) / 1.80655;

/** Total boron, mol/kg-sw [U74]. Salt mixes carry half to twice as much. Check: 35 → 4.157e-4. */
export const totalBoronUppstrom1974 = (salinity: number): number => (0.0004157 * salinity) / 35;

/** Total boron, mol/kg-sw [LEE10]. Check: 35 → 4.326e-4. */
export const totalBoronLee2010 = (salinity: number): number => (0.0004326 * salinity) / 35;

/** Total calcium, mol/kg-sw, of natural seawater [RT67]. Check: 35 → 0.01028. */
export const totalCalcium = (salinity: number): number => ((0.02128 / 40.087) * salinity) / 1.80655;

/** Ionic strength, mol/kg-H2O, as the equilibrium constants below use it [DSC07]. Check: 35 → 0.7227. */
export const ionicStrength = (salinity: number): number => (19.924 * salinity) / (1000 - 1.005 * salinity);

/** Mass of water in a mass of seawater: turns mol/kg-H2O into mol/kg-sw [DSC07]. Check: 35 → 0.964825. */
export const waterFraction = (salinity: number): number => 1 - 0.001005 * salinity;
