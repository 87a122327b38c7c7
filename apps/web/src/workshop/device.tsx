import { useEffect } from 'preact/hooks';
import { entries, standing, tanks } from '../state/journal.ts';
import { askPromise, learnPromise, promised } from '../state/persist.ts';
import { prefer, preferences } from '../state/reader.ts';
import { words } from '../words/index.ts';
import { Version } from './version.tsx';

/** What this device keeps, how safely, and which tanks stand in its rounds. */
export function Device() {
  const of = words.workshop;
  useEffect(() => void learnPromise(), []);
  const { putAway } = preferences.value;
  const isAway = (tank: string) => putAway.includes(tank);
  const move = (tank: string) =>
    prefer({ putAway: isAway(tank) ? putAway.filter((t) => t !== tank) : [...putAway, tank] });
  return (
    <section class="part" aria-labelledby="device">
      <h2 id="device">{of.device}</h2>
      <p>
        {of.kept(entries.value.length)}{' '}
        {standing.value.kind === 'kept' && (promised.value ? of.persisted : of.persistNo)}
      </p>
      {standing.value.kind === 'kept' && promised.value === false && (
        <p class="acts">
          <button class="act" type="button" onClick={() => void askPromise(true)}>
            {of.persistAsk}
          </button>
        </p>
      )}
      <Version />
      {tanks.value.size > 0 && <p class="said-now soft">{of.putAwayHint}</p>}
      <ul class="lines">
        {[...tanks.value.values()].map(({ tank, name = words.rounds.unnamed }) => (
          <li key={tank}>
            <button class="word" type="button" onClick={() => move(tank)}>
              {isAway(tank) ? of.takeOut(name) : of.putAway(name)}
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}
