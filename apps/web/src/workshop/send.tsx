import { useState } from 'preact/hooks';
import { download, fileName } from '../backup/copy.ts';
import { Choice, Field } from '../parts/field.tsx';
import { entries, tanks } from '../state/journal.ts';
import { preferences } from '../state/reader.ts';
import { words } from '../words/index.ts';
import { Copy } from './copy.tsx';

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
      <Copy />
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
  const file = fileName();
  download(chosen, file);
  return words.workshop.sent(chosen.length, file);
}
