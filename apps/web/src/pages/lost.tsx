import { Title } from '../parts/title.tsx';
import { paths } from '../state/paths.ts';
import { words } from '../words/index.ts';

export function Lost() {
  return (
    <div class="lede">
      <Title name={words.lost.title}>{words.lost.title}</Title>
      <p class="acts">
        <a class="act" href={paths.rounds}>
          {words.lost.remedy}
        </a>
      </p>
    </div>
  );
}

export function LostTank() {
  return (
    <div class="lede">
      <Title name={words.tank.lost}>{words.tank.lost}</Title>
      <p>{words.tank.lostRemedy}</p>
      <p class="acts">
        <a class="act" href={paths.rounds}>
          {words.lost.remedy}
        </a>
        <a class="act" href={paths.workshop}>
          {words.rounds.bringIn}
        </a>
      </p>
    </div>
  );
}
