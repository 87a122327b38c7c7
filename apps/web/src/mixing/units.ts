import {
  canonicalUnit,
  InputFault,
  parseQuantity,
  type QuantityField,
  type Tool,
} from '@brinewright/counsel';
import type { Analyte, TankFacts } from '@brinewright/journal';
import { withSubscripts } from '../format/ions.ts';
import { kept } from '../state/kept.ts';
import { preferences } from '../state/reader.ts';

/** A unit offered beside a number. */
export interface Unit {
  /** Under which it is remembered. */
  readonly key: string;
  /** What the tools read after the number. */
  readonly says: string;
  /** What a person reads. */
  readonly label: string;
  /** Right for this one number, not a habit: millilitres of a bottle say nothing of the tank. */
  readonly passing?: true;
}

/** One number a tool asks for. */
export interface Asked {
  readonly tool: Tool;
  readonly id: string;
  readonly field: QuantityField;
}

const unit = (key: string, label = key, says = key): Unit => ({ key, says, label });
const passing = (key: string): Unit => ({ ...unit(key), passing: true });
const gravity = (pair: string, label = pair): Unit => unit(`SG at ${pair}`, `SG ${label}`);

const offered: Readonly<Partial<Record<QuantityField['kind'], readonly Unit[]>>> = {
  volume: [unit('L'), passing('mL'), unit('US gal'), unit('UK gal')],
  length: [unit('cm'), passing('mm'), unit('in')],
  mass: [unit('g'), unit('kg'), unit('oz'), unit('lb')],
  temperature: [unit('°C'), unit('°F')],
  salinity: [
    unit('ppt', 'ppt', ''),
    gravity('25/25'),
    gravity('20/20'),
    gravity('20/4'),
    gravity('15/4'),
    gravity('25/4'),
    gravity('60/60F', '60/60 °F'),
    unit('mS/cm at 25 C', 'mS/cm, 25 °C'),
  ],
  alkalinity: [unit('meq/L'), unit('dKH'), unit('mg/L CaCO3', 'mg/L CaCO₃')],
  phosphorus: [unit('mg/L PO4', 'mg/L as PO₄'), unit('mg/L P', 'mg/L as P')],
  nitrogenMass: ['mg N', 'g NH4Cl', 'g (NH4)2SO4', 'g NaNO3'].map((key) => unit(key, formulaShown(key))),
  strength: ['% NH3', 'g/L NH3', '% NH4Cl', 'g/L NH4Cl', 'mg/mL N'].map((key) =>
    unit(key, formulaShown(key)),
  ),
  conductivity: [unit('mS/cm'), unit('µS/cm'), unit('S/m')],
  flow: [unit('L/h'), unit('L/min'), unit('mL/min'), unit('US gal/h'), unit('UK gal/h')],
  fraction: [unit('%')],
  specificGravity: [unit('SG', 'SG', '')],
};

const ionUnit = (ion: string): Unit => unit(`mg/L ${ion}`, withSubscripts(`mg/L as ${ion}`));

/** "NH4Cl" as chemists print it; water of crystallisation and factors before a formula keep their size. */
export function formulaShown(text: string): string {
  return text.replace(/(?<=[A-Za-z)])\d+/g, (digits) =>
    [...digits].map((digit) => '₀₁₂₃₄₅₆₇₈₉'[Number(digit)]).join(''),
  );
}

/** Which nitrogen a field is about, where that narrows what a kit may count. */
function nitrogenOf({ tool, id }: Asked): 'ammonia' | 'nitrate' | 'any' {
  if (/ammonia/i.test(id)) return 'ammonia';
  if (/nitrate/i.test(id)) return 'nitrate';
  if (tool.shelf === 'water') return 'nitrate';
  return tool.shelf === 'ammonia' && tool.id !== 'nitrogen-ions' ? 'ammonia' : 'any';
}

const ions = { ammonia: ['N', 'NH4', 'NH3'], nitrate: ['NO3', 'N'], any: ['N', 'NH4', 'NH3', 'NO2', 'NO3'] };

/** Units a field can be written in; a single one where there is no choice. */
export function unitsOf(asked: Asked): readonly Unit[] {
  const { kind } = asked.field;
  if (kind === 'nitrogen') return ions[nitrogenOf(asked)].map(ionUnit);
  return offered[kind] ?? [unit(canonicalUnit[kind])];
}

/** Units this reader chose before; what a kit counts is a habit of one tank. */
export const habits = kept<Readonly<Record<string, string>>>('mixing.units', {});

const habitOf = (asked: Asked, tank: TankFacts | undefined): string => {
  const { kind, bareUnit } = asked.field;
  if (kind === 'nitrogen') return `${kind} ${nitrogenOf(asked)} ${tank?.tank ?? ''}`;
  return bareUnit === undefined ? kind : `${kind} ${bareUnit}`;
};

export function rememberUnit(asked: Asked, tank: TankFacts | undefined, chosen: Unit): void {
  if (!chosen.passing) habits.value = { ...habits.value, [habitOf(asked, tank)]: chosen.key };
}

/** The unit a field stands in until one is chosen for it: by habit, else by the tank's kit, the reader, the example. */
export function usualUnit(asked: Asked, tank: TankFacts | undefined): Unit {
  const units = unitsOf(asked);
  const named = (key: string | undefined) => units.find((each) => each.key === key);
  return (
    named(habits.value[habitOf(asked, tank)]) ??
    named(kitUnit(asked, tank)) ??
    named(readerUnit(asked.field)) ??
    named(asked.field.bareUnit) ??
    units[0]!
  );
}

function kitUnit(asked: Asked, tank: TankFacts | undefined): string | undefined {
  if (asked.field.kind !== 'nitrogen' || tank === undefined) return undefined;
  const analyte: Analyte | 'any' = nitrogenOf(asked);
  const kit = [...tank.kits.values()].find((each) => each.analyte === analyte);
  return kit?.as === undefined ? undefined : `mg/L ${kit.as}`;
}

function readerUnit({ kind }: QuantityField): string | undefined {
  const { volume, temperature } = preferences.value;
  if (kind === 'temperature') return temperature;
  return kind === 'volume' && volume === 'gal' ? 'US gal' : undefined;
}

/** A canonical number in a unit: the inverse of reading it, found from the reading itself. */
export function inUnit(kind: QuantityField['kind'], canonical: number, { says }: Unit): number {
  const read = (shown: number) => parseQuantity('', kind, `${shown} ${says}`).value;
  if (kind === 'salinity' && says !== '')
    return says.startsWith('SG') ? bisect(read, canonical, 0.99, 1.06) : bisect(read, canonical, 0, 90);
  const zero = read(0);
  return (canonical - zero) / (read(1) - zero);
}

/** Where a rising function takes a value; beyond its domain it counts as too low below the middle, too high above. */
function bisect(read: (shown: number) => number, wanted: number, low: number, high: number): number {
  const tooLow = (shown: number): boolean => {
    try {
      return read(shown) < wanted;
    } catch (error) {
      if (error instanceof InputFault) return shown < (low + high) / 2;
      throw error;
    }
  };
  let [from, to] = [low, high];
  for (let step = 0; step < 50; step += 1) {
    const at = (from + to) / 2;
    if (tooLow(at)) from = at;
    else to = at;
  }
  return to;
}
