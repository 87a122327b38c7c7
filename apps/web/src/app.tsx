import type { TankId } from '@brinewright/journal';
import { LocationProvider, Route, Router, useLocation } from 'preact-iso';
import { AmendDoor } from './amend/door.tsx';
import { followColumn } from './charts/use-width.ts';
import { CrewDoor, JoinDoor, SignInDoor } from './crew/doors.tsx';
import { MixingDoor } from './mixing/door.tsx';
import { Bench } from './pages/bench.tsx';
import { LabelDoor } from './pages/label-door.tsx';
import { Lost } from './pages/lost.tsx';
import { NewTank } from './pages/new-tank.tsx';
import { TankSheet } from './pages/tank.tsx';
import { Workshop } from './pages/workshop.tsx';
import { Notices } from './parts/notices.tsx';
import { SharingLine } from './parts/sharing-line.tsx';
import { Rounds } from './rounds/rounds.tsx';
import { factsFor, standing } from './state/journal.ts';
import { paths } from './state/paths.ts';
import { mayWrite } from './state/sharing.ts';
import { words } from './words/index.ts';

export function App() {
  return (
    <LocationProvider>
      <div class="page">
        <a class="skip" href="#main">
          {words.skip}
        </a>
        <Masthead />
        <Notices />
        <main id="main" tabIndex={-1} ref={followColumn}>
          {standing.value.kind === 'opening' ? (
            <p class="soft">{words.standing.opening}</p>
          ) : (
            <Router>
              <Route path="/" component={Rounds} />
              <Route path="/tank/:id" component={TankSheet} />
              <Route path="/tank/:id/bench" component={Bench} />
              <Route path="/tank/:id/entry/:entry" component={AmendDoor} />
              <Route path="/tank/:id/label" component={LabelDoor} />
              <Route path="/mixing/:tool?" component={MixingDoor} />
              <Route path="/new" component={NewTank} />
              <Route path="/workshop" component={Workshop} />
              <Route path="/tank/:id/crew" component={CrewDoor} />
              <Route path="/sign-in" component={SignInDoor} />
              <Route path="/join/:secret" component={JoinDoor} />
              <Route default component={Lost} />
            </Router>
          )}
        </main>
        <footer class="colophon">
          <p>{words.colophon}</p>
          <SharingLine />
        </footer>
      </div>
    </LocationProvider>
  );
}

/** The tank a path is about, if it is about one that is here. */
function tankAt(path: string): { id: TankId; name: string } | undefined {
  const id = /^\/tank\/([^/]+)/.exec(path)?.[1] as TankId | undefined;
  const facts = id === undefined ? undefined : factsFor(id);
  return id !== undefined && facts !== undefined
    ? { id, name: facts.name ?? words.rounds.unnamed }
    : undefined;
}

function Masthead() {
  const { path } = useLocation();
  const tank = tankAt(path);
  const places = [
    [paths.rounds, words.nav.rounds],
    ...(tank
      ? [
          [paths.tank(tank.id), tank.name],
          ...(mayWrite(tank.id) ? ([[paths.bench(tank.id), words.nav.bench]] as const) : []),
        ]
      : []),
    [paths.mixingRoom, words.nav.mixing],
    [paths.newTank, words.nav.newTank],
    [paths.workshop, words.nav.workshop],
  ] as const;
  return (
    <header class="masthead">
      <a class="wordmark" href={paths.rounds}>
        {words.brand}
      </a>
      <nav aria-label={words.nav.label}>
        <ul>
          {places.map(([href, name]) => (
            <li key={href}>
              <a href={href} aria-current={path === href ? 'page' : undefined}>
                {name}
              </a>
            </li>
          ))}
        </ul>
      </nav>
    </header>
  );
}
