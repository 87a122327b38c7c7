import { type Entry, writeJournal } from '@brinewright/journal';
import { useState } from 'preact/hooks';
import { Choice, Field } from '../parts/field.tsx';
import { entries, tanks } from '../state/journal.ts';
import { preferences } from '../state/reader.ts';
import { words } from '../words/index.ts';

/** Everything a person wrote, in one file to take away. */
export function Send() {
  const [which, setWhich] = useState('');
  const [said, setSaid] = useState('');
  const of = words.workshop;
  const names = [...tanks.value.values()].map(
    ({ tank, name }) => [tank as string, name ?? words.rounds.unnamed] as const,
  );
  return (
    <section class="part" aria-labelledby="send">
      <h2 id="send">{of.send}</h2>
      <p class="soft">{of.sendHint}</p>
      <div class="form">
        <Field label={of.sendWhat}>
          <Choice value={which} onValue={setWhich} options={[['', of.sendAll], ...names]} />
        </Field>
      </div>
      <p class="acts">
        <button class="act" type="button" onClick={() => setSaid(send(which))}>
          {of.sendAct}
        </button>
      </p>
      <p class="said-now" role="status">
        {said}
      </p>
    </section>
  );
}

function send(which: string): string {
  const { putAway } = preferences.value;
  const chosen = entries.value.filter(({ tank }) =>
    which === '' ? !putAway.includes(tank) : tank === which,
  );
  const file = `brinewright-${new Date().toISOString().slice(0, 10)}.ndjson`;
  download(chosen, file);
  return words.workshop.sent(chosen.length, file);
}

function download(chosen: readonly Entry[], file: string): void {
  const address = URL.createObjectURL(new Blob([writeJournal(chosen)], { type: 'application/x-ndjson' }));
  const link = document.createElement('a');
  link.href = address;
  link.download = file;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
