import { useState } from 'preact/hooks';
import { Field, Shown } from '../parts/field.tsx';
import { sharingWords } from '../words/sharing.ts';

const of = sharingWords.crew;

/** An address that is shown once, to be copied. */
export function ToHandOver({ label, hint, value }: { label: string; hint: string; value: string }) {
  const [copied, setCopied] = useState(false);
  const copy = async () => {
    await navigator.clipboard.writeText(value);
    setCopied(true);
  };
  return (
    <div class="hand-over">
      <Field label={label} hint={hint}>
        <Shown value={value} />
      </Field>
      <p class="acts">
        <button class="act" type="button" onClick={() => void copy().catch(() => setCopied(false))}>
          {of.copy}
        </button>
        <span role="status">{copied ? of.copied : ''}</span>
      </p>
    </div>
  );
}
