import type { KitBody } from '@brinewright/journal';
import { unitOf } from '../entries/say-reading.ts';
import type { Numbers } from '../format/numbers.ts';
import { words } from '../words/index.ts';

/** "as NO₂ · 0 0.25 0.5 1 2 5" or "as N · reads to 0.01 mg/L". */
export function sayKit(kit: Omit<KitBody, 'kit'>, numbers: Numbers): string {
  const basis = kit.as === undefined ? undefined : words.asIon(words.ion[kit.as]);
  if (kit.steps !== undefined) return words.kits.describe(basis, kit.steps.map(numbers.plain).join('  '));
  const resolution =
    kit.resolution === undefined ? '' : words.kits.meter(numbers.plain(kit.resolution), unitOf(kit.analyte));
  return words.kits.describe(basis, resolution);
}

/** The name a kit is called by; a preset has one in the reader's language. */
export function nameOfKit(kit: KitBody): string {
  const presets: Readonly<Record<string, string>> = words.kits.presets;
  return presets[kit.kit] ?? kit.kit;
}
