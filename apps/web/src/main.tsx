import { effect } from '@preact/signals';
import { render } from 'preact';
import { App } from './app.tsx';
import { DEMONSTRATION, plantDemonstration } from './demo/plant.ts';
import { takeFromShelf } from './state/course.ts';
import { openJournal, standing } from './state/journal.ts';
import { workOffline } from './state/offline.ts';
import { paths } from './state/paths.ts';
import { keepTime, preferences } from './state/reader.ts';
import { takeRounds } from './state/rounds.ts';

effect(() => {
  document.documentElement.dataset.paper = preferences.value.paper;
});

const sheet = document.getElementById('sheet');
if (sheet !== null) render(<App />, sheet);

keepTime();
await Promise.all([takeFromShelf(), takeRounds()]);
const { first, standing: opened } = await openJournal(plantDemonstration);
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
