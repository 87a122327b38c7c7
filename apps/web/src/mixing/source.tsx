import { canonicalUnit, parseQuantity, type QuantityField, sayFigure } from '@brinewright/counsel';
import type { TankFacts } from '@brinewright/journal';
import { withSubscripts } from '../format/ions.ts';
import { mixingWords } from '../words/mixing.ts';
import type { FieldState } from './sheet.ts';
import { type Asked, usualUnit } from './units.ts';
import { laidOut, namesUnit, sayWritten } from './written.ts';

interface SourceProps {
  readonly id: string;
  readonly state: FieldState;
  readonly asked: Asked | undefined;
  readonly tank: TankFacts | undefined;
  readonly onWrite: (written: undefined) => void;
}

/** Where a field's number comes from, and what it is in the unit that is reckoned in. */
export function Source({ id, state, asked, tank, onWrite }: SourceProps) {
  const { known, touched, text, field } = state;
  const of = mixingWords;
  const name = tank?.name ?? of.tank.unnamed;
  const told = known !== undefined && !touched ? [of.known.from(name, known.from)] : [];
  const preset = touched && text === '' ? field.preset : undefined;
  const lines = [
    ...told,
    ...(preset === undefined ? [] : [of.field.whereEmpty(preset)]),
    ...(asked === undefined ? [] : converted(asked, state)),
  ];
  return (
    <p class="source" id={id}>
      {lines.join(' ')}
      {known !== undefined && touched && asked !== undefined && (
        <>
          {lines.length > 0 && ' '}
          {of.known.says(name, sayWritten(asked, laidOut(asked, known.text, usualUnit(asked, tank))))}{' '}
          <button
            class="word"
            type="button"
            aria-label={of.known.useOf(field.title)}
            onClick={() => onWrite(undefined)}
          >
            {of.known.use}
          </button>
        </>
      )}
    </p>
  );
}

/** Kinds worth saying in the unit that is reckoned in, when they were written in another. */
const telling: ReadonlySet<QuantityField['kind']> = new Set([
  'volume',
  'temperature',
  'salinity',
  'alkalinity',
  'nitrogen',
  'nitrogenMass',
  'phosphorus',
  'strength',
  'flow',
]);

/** Nothing where the number was written in that unit, or is not a number yet. */
function converted(asked: Asked, { text, fault, touched, written }: FieldState): readonly string[] {
  const { id, field } = asked;
  if (!touched || text === '' || fault !== undefined || !telling.has(field.kind)) return [];
  if (typeof written === 'string') return [];
  const quantity = parseQuantity(id, field.kind, text, field.bareUnit);
  if (!namesUnit(written.number) && quantity.value === Number(written.number.replace(',', '.'))) return [];
  const unit = field.kind === 'salinity' ? 'ppt' : canonicalUnit[field.kind];
  return [mixingWords.field.that(withSubscripts(sayFigure({ ...quantity, unit })).replaceAll(' ', '\u00a0'))];
}
