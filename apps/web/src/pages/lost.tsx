import type { TankId } from '@brinewright/journal';
import { Title } from '../parts/title.tsx';
import { paths } from '../state/paths.ts';
import { serverRounds } from '../state/rounds.ts';
import { roleIn } from '../state/sharing.ts';
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

/** The server has it, and it is being fetched. */
const isComing = (tank: TankId): boolean => roleIn(tank) !== undefined || serverRounds.value.has(tank);

export function LostTank({ id }: { id: string }) {
  if (isComing(id as TankId))
    return (
      <div class="lede">
        <Title name={words.tank.coming}>{words.tank.coming}</Title>
        <p role="status">{words.tank.comingLede}</p>
      </div>
    );
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
