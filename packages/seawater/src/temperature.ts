/** Absolute temperature, K, from °C. */
export const kelvin = (temperatureC: number): number => temperatureC + 273.15;

/**
 * IPTS-68 temperature, °C, from ITS-90 °C: t68 = 1.00024·t90 [SAUNDERS90]. PSS-78 and EOS-80 are defined on it.
 * Check: 25 → 25.006.
 */
export const t68FromT90 = (t90: number): number => 1.00024 * t90;

/** ITS-90 temperature, °C, from IPTS-68 °C. */
export const t90FromT68 = (t68: number): number => t68 / 1.00024;

/** °C from °F. Check: 77 → 25. */
export const celsiusFromFahrenheit = (fahrenheit: number): number => ((fahrenheit - 32) * 5) / 9;

/** °F from °C. Check: 25 → 77. */
export const fahrenheitFromCelsius = (celsius: number): number => (celsius * 9) / 5 + 32;
