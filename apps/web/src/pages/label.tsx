import type { TankFacts, TankId } from '@brinewright/journal';
import { sayLitres } from '../entries/say.ts';
import { SquareCode } from '../label/code.tsx';
import { Title } from '../parts/title.tsx';
import { factsFor } from '../state/journal.ts';
import { paths } from '../state/paths.ts';
import { print } from '../state/reader.ts';
import { words } from '../words/index.ts';
import { LostTank } from './lost.tsx';

/** A label to stick on a tank: a camera that sees it opens that tank's bench. */
export function Label({ id }: { id: string }) {
  const facts = factsFor(id as TankId);
  return facts === undefined ? <LostTank id={id} /> : <LabelOf facts={facts} />;
}

function LabelOf({ facts }: { facts: TankFacts }) {
  const { tank, name = words.rounds.unnamed, litres, opened } = facts;
  const of = words.label;
  const address = new URL(paths.bench(tank), location.href).href;
  const known = [
    litres === undefined ? undefined : sayLitres(litres, print.value),
    opened === undefined ? undefined : of.day0(print.value.dates.full(opened)),
  ];
  return (
    <>
      <div class="lede screen-only">
        <Title name={of.title(name)}>{of.title(name)}</Title>
        <p>
          {of.lede} {of.only}
        </p>
        <p class="acts">
          <button class="act chief" type="button" onClick={() => window.print()}>
            {of.print}
          </button>
        </p>
      </div>
      <figure class="label">
        <SquareCode text={address} name={of.code(name)} />
        <figcaption>
          <strong>{name}</strong>
          <span>{known.filter(Boolean).join(' · ')}</span>
          <span class="address">{address}</span>
        </figcaption>
      </figure>
    </>
  );
}
