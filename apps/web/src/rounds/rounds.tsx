import { useEffect } from 'preact/hooks';
import { Title } from '../parts/title.tsx';
import { tankIds } from '../state/journal.ts';
import { paths } from '../state/paths.ts';
import { now } from '../state/reader.ts';
import { roundsSeen } from '../state/rounds.ts';
import { words } from '../words/index.ts';
import { Few } from './few.tsx';
import { Many } from './many.tsx';
import { EVERYTHING, wantedOf } from './order.ts';
import { stands } from './stand.ts';

/** So many tanks are read like a letter; more of them, like a list. */
const FEW = 12;

/** All tanks, the one that needs someone first on top. */
export function Rounds() {
  useEffect(() => {
    roundsSeen.value = true;
    return () => {
      roundsSeen.value = false;
    };
  }, []);
  const all = stands.value;
  const here = new Set(tankIds.value);
  const away = tankIds.value.length - all.filter(({ tank }) => here.has(tank)).length;
  const title = all.length === 0 ? words.rounds.titleNone : words.rounds.title(all.length);
  return (
    <>
      <div class="lede">
        <Title name={words.nav.rounds}>{title}</Title>
        {all.length > 1 && all.length <= FEW && <p>{words.rounds.lede}</p>}
        {all.length === 0 && <NoTanks />}
      </div>
      {all.length > FEW ? <Many /> : <Few ordered={wantedOf(all, EVERYTHING, now.value)} />}
      {away > 0 && <p class="soft">{words.rounds.putAway(away)}</p>}
    </>
  );
}

function NoTanks() {
  return (
    <>
      <p>{words.rounds.none}</p>
      <p class="acts">
        <a class="act chief" href={paths.newTank}>
          {words.rounds.openNew}
        </a>
        <a class="act" href={paths.workshop}>
          {words.rounds.bringIn}
        </a>
      </p>
    </>
  );
}
