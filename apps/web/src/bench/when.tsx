import { localField } from '../format/dates.ts';
import { Field, TimeInput } from '../parts/field.tsx';
import { words } from '../words/index.ts';

/** Now, unless it happened earlier. */
export function When({ when, onWhen }: { when: string | null; onWhen: (when: string | null) => void }) {
  return (
    <div class="when">
      <fieldset>
        <legend class="hidden-text">{words.bench.when}</legend>
        <div class="steps two">
          <button type="button" aria-pressed={when === null} onClick={() => onWhen(null)}>
            {words.bench.now}
          </button>
          <button
            type="button"
            aria-pressed={when !== null}
            onClick={() => when === null && onWhen(localField(Date.now()))}
          >
            {words.bench.earlier}
          </button>
        </div>
      </fieldset>
      {when !== null && (
        <Field label={words.bench.whenField}>
          <TimeInput value={when} onValue={onWhen} max={localField(Date.now())} />
        </Field>
      )}
    </div>
  );
}
