import type { Prediction } from '@brinewright/counsel';
import { asNitrogen, BASES_OF, type NitrogenBasis, type ReadingBody } from '@brinewright/journal';
import type { Numbers } from '../format/numbers.ts';
import { words } from '../words/index.ts';
import { type Expectation, expectationOf, isUnexpected } from './expectation.ts';
import type { BenchKit } from './reading.ts';

/**
 * A card step rarer than this, together with all beyond it, is far from what was expected. The few in a hundred that
 * every forecast leaves to slips of the eye lie below it.
 */
const RARE = 0.03;

/** Whether a reading is not only outside its nine in ten but far outside. */
export function isFar(body: ReadingBody, prediction: Prediction): boolean {
  const expected = expectationOf(prediction);
  if (!isUnexpected(body, expected)) return false;
  const { low, high } = spanOf(body);
  const { steps } = prediction;
  if (steps === undefined || steps.length === 0)
    return low > 2 * expected.high + 0.1 || high < expected.low / 2 - 0.1;
  const above = low > expected.high;
  const beyond = steps.filter(({ value }) => (above ? value >= low : value <= high));
  return beyond.reduce((sum, { probability }) => sum + probability, 0) < RARE;
}

interface Beside {
  readonly kit: BenchKit;
  readonly prediction: Prediction;
}

/**
 * What could make such a reading, the likeliest slips first: those that would bring it inside what was expected, in
 * words, as questions. Nothing is refused.
 */
export function whyFar(
  kit: BenchKit,
  body: ReadingBody,
  prediction: Prediction,
  others: readonly Beside[],
  numbers: Numbers,
): readonly string[] {
  const of = words.bench.far;
  const expected = expectationOf(prediction);
  const fits = (factor: number) => within(body, expected, factor);
  const found = [
    neighbour(kit, body, expected, numbers),
    ...otherIons(kit, (ion, own) => fits(inUnit(ion, own))),
    ...others
      .filter(
        (other) => other.kit.analyte !== kit.analyte && within(body, expectationOf(other.prediction), 1),
      )
      .map((other) => of.row(words.analyte[other.kit.analyte].toLowerCase())),
    ...DILUTIONS.filter((d) => d !== (body.dilution ?? 1) && fits(d / (body.dilution ?? 1))).map((d) =>
      of.dilution(d === 1 ? words.bench.undiluted : words.entry.diluted(String(d))),
    ),
  ].filter((hint) => hint !== undefined);
  return [...found.slice(0, MOST), of.plain, of.stands];
}

/** Ions the card might count instead of the one it is said to. */
function otherIons({ analyte, as }: BenchKit, fits: (ion: NitrogenBasis, own: NitrogenBasis) => boolean) {
  const likely = (BASES_OF[analyte] ?? []).filter((ion) => as !== undefined && ion !== as && fits(ion, as));
  return likely.map((ion) => words.bench.far.ion(words.asIon(words.ion[ion])));
}

const MOST = 3;
const DILUTIONS = [1, 2, 5, 10];

/** What one unit counted as an ion comes to in the kit's own. */
const inUnit = (ion: NitrogenBasis, own: NitrogenBasis) => asNitrogen(1, ion) / asNitrogen(1, own);

function neighbour(
  { steps }: BenchKit,
  body: ReadingBody,
  { low, high }: Expectation,
  numbers: Numbers,
): string | undefined {
  if (steps === undefined) return undefined;
  const span = spanOf(body);
  const next =
    span.low > high ? steps.findLast((step) => step < span.low) : steps.find((step) => step > span.high);
  const fits = next !== undefined && next >= low && next <= high;
  return fits ? words.bench.far.neighbour(numbers.plain(next)) : undefined;
}

function within(body: ReadingBody, { low, high }: Expectation, factor: number): boolean {
  const span = spanOf(body);
  const [from, to] = [span.low * factor, span.high * factor];
  // Zero times anything is zero: it tells one explanation from another no better.
  return to > 0 && from <= high && to >= low;
}

const spanOf = ({ value, between, over, under }: ReadingBody) => ({
  low: between?.[0] ?? over ?? value ?? 0,
  high: between?.[1] ?? under ?? value ?? Number.POSITIVE_INFINITY,
});
