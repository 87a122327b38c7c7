import { computed, signal } from '@preact/signals';
import { printFor } from '../format/print.ts';
import type { TemperatureUnit, VolumeUnit } from '../format/units.ts';
import { usualUnits } from '../format/units.ts';
import { kept } from './kept.ts';

/** What one reader prefers on this device. None of it is part of a journal. */
export interface Preferences {
  readonly volume: VolumeUnit;
  readonly temperature: TemperatureUnit;
  /** When the bench says what a kit should show: beside the card, or once something was chosen, so that no eye is led. */
  readonly expectation: 'at-once' | 'after';
  readonly paper: 'device' | 'light' | 'dark';
  /** Tanks that do not stand in the rounds of this device. */
  readonly putAway: readonly string[];
}

export const preferences = kept<Preferences>('preferences', {
  ...usualUnits(navigator.language),
  expectation: 'at-once',
  paper: 'device',
  putAway: [],
});

export const prefer = (change: Partial<Preferences>) => {
  preferences.value = { ...preferences.value, ...change };
};

/** How facts are printed for this reader. */
export const print = computed(() => printFor(preferences.value));

/** The time, to the minute; it moves on by itself and when the page is looked at again. */
export const now = signal(Date.now());

export function keepTime(): void {
  const tick = () => {
    now.value = Date.now();
  };
  setInterval(tick, 60_000);
  document.addEventListener('visibilitychange', tick);
}
