import { effect } from '@preact/signals';
import { render } from 'preact';
import { App } from './app.tsx';
import { DEMONSTRATION, plantDemonstration } from './demo/plant.ts';
import { breathe } from './parts/in-slices.ts';
import { takeFromShelf } from './state/course.ts';
import { openJournal, standing } from './state/journal.ts';
import { workOffline } from './state/offline.ts';
import { paths } from './state/paths.ts';
import { keepTime, now, preferences, print } from './state/reader.ts';
import { takeRounds } from './state/rounds.ts';

effect(() => {
  document.documentElement.dataset.paper = preferences.value.paper;
});

const opening = Promise.all([openJournal(plantDemonstration), takeFromShelf(), takeRounds()]);
await breathe();
const sheet = document.getElementById('sheet');
if (sheet !== null) render(<App />, sheet);
keepTime();
// What prints numbers and dates takes a browser long to set up the first time: now, while the journal is being opened.
await breathe();
print.value.numbers.plain(0);
await breathe();
print.value.dates.weekday(now.value);
const [{ first, standing: opened }] = await opening;
if (first && location.pathname === paths.rounds) {
  history.replaceState(null, '', paths.tank(DEMONSTRATION));
  dispatchEvent(new PopStateEvent('popstate'));
}
standing.value = opened;
workOffline();
// What is written here is safe without it; an old page whose server has newer files does without until it is changed.
import('./sharing/start.ts').then(
  ({ share }) => share(),
  () => undefined,
);
