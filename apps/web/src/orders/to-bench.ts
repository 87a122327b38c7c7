import type { ExchangeSize, Order } from '@brinewright/counsel';
import type { TankFacts } from '@brinewright/journal';
import type { DeedKind } from '../bench/deeds.ts';
import { type BenchDraft, NO_PICK } from '../bench/draft.ts';
import type { Print } from '../format/print.ts';

/** Where on the bench an order is written down, and what can be filled in beforehand; undefined where there is nothing to write. */
export interface BenchStart {
  readonly place: 'tests' | DeedKind;
  readonly draft: Partial<BenchDraft>;
}

type Values = Readonly<Record<string, string>>;

/** The numbers of an order, laid out on the bench. They are a proposal: what is written down is what was done. */
export function benchStart(order: Order, facts: TankFacts, print: Print): BenchStart | undefined {
  switch (order.do) {
    case 'test':
      return { place: 'tests', draft: { picks: dilutions(order.what.tests, facts) } };
    case 'dose':
    case 'prove':
      return deed(
        'dose',
        doseValues(order.what, 'substance' in order.what ? order.what.substance : undefined),
      );
    case 'buffer':
      return deed(
        'dose',
        known({ substance: order.what.substance, amountAs: 'grams', grams: number(order.what.grams) }),
      );
    case 'exchange':
      return deed('exchange', exchangeValues(order.what, print));
    case 'emergency':
      return deed('exchange', exchangeValues(order.what.exchange, print));
    case 'posture':
      return deed('posture', { item: order.what.item, state: order.what.state });
    default:
      return undefined;
  }
}

const deed = (kind: DeedKind, values: Values): BenchStart => ({
  place: kind,
  draft: { deeds: { [kind]: values } },
});

function dilutions(
  tests: Extract<Order, { do: 'test' }>['what']['tests'],
  facts: TankFacts,
): BenchDraft['picks'] {
  const diluted = tests.flatMap(({ kit, dilution }) =>
    kit !== null && dilution !== 1 ? [{ kit, dilution }] : [],
  );
  return Object.fromEntries(
    diluted
      .filter(({ kit }) => facts.kits.has(kit))
      .map(({ kit, dilution }) => [kit, { ...NO_PICK, dilution: String(dilution) }]),
  );
}

interface Amounts {
  readonly nitrogenMg: number | null;
  readonly millilitres?: number;
  readonly grams?: number;
}

function doseValues({ nitrogenMg, grams }: Amounts, substance = 'ammonium-chloride'): Values {
  if (grams !== undefined) return known({ substance, amountAs: 'grams', grams: number(grams) });
  return known({ substance, amountAs: 'nitrogenMg', nitrogenMg: number(nitrogenMg) });
}

function exchangeValues(
  { litres, share, salinity, temperatureC }: ExchangeSize,
  { volume, temperature }: Print,
): Values {
  const water = { salinity: number(salinity), temperature: number(temperature.toShown(temperatureC)) };
  if (litres === null) return known({ sizeAs: 'fraction', share: number(100 * share), ...water });
  return known({ sizeAs: 'litres', litres: number(volume.toShown(litres)), ...water });
}

/** As a person would have typed it: three figures. */
const number = (value: number | null) => (value === null ? undefined : String(Number(value.toPrecision(3))));

const known = (values: Readonly<Record<string, string | undefined>>): Values =>
  Object.fromEntries(
    Object.entries(values).filter((pair): pair is [string, string] => pair[1] !== undefined),
  );
