import type { TankFacts, TankId } from '@brinewright/journal';
import { Choice, Field } from '../parts/field.tsx';
import { mixingWords } from '../words/mixing.ts';
import { choosable, chooseTank } from './state.ts';

const NONE = '';

/** Which tank this is for, if there is any. */
export function TankChoice({ tank, fills }: { tank: TankFacts | undefined; fills: boolean }) {
  const of = mixingWords.tank;
  if (choosable.value.length === 0) return null;
  return (
    <div class="for-tank">
      <Field label={of.label} hint={fills ? of.hint : undefined}>
        <Choice
          value={tank?.tank ?? NONE}
          onValue={(id) => chooseTank(id === NONE ? null : (id as TankId))}
          options={[
            ...choosable.value.map((each) => [each.tank as string, each.name ?? of.unnamed] as const),
            [NONE, of.none],
          ]}
        />
      </Field>
    </div>
  );
}
