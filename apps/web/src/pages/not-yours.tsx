import type { TankFacts } from '@brinewright/journal';
import { Title } from '../parts/title.tsx';
import { paths } from '../state/paths.ts';
import { words } from '../words/index.ts';

/** Whoever may only read is not offered to write. */
export function NotYours({ facts: { tank, name = words.rounds.unnamed } }: { facts: TankFacts }) {
  return (
    <div class="lede">
      <Title name={name}>{words.bench.notYours(name)}</Title>
      <p>{words.bench.notYoursRemedy}</p>
      <p class="acts">
        <a class="act" href={paths.tank(tank)}>
          {words.bench.seeTank(name)}
        </a>
      </p>
    </div>
  );
}
