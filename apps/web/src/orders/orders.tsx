import type { Order, Reason } from '@brinewright/counsel';
import type { TankFacts } from '@brinewright/journal';
import { useLocation } from 'preact-iso';
import { layOut } from '../bench/draft.ts';
import { withSubscripts } from '../format/ions.ts';
import { paths } from '../state/paths.ts';
import { now, print } from '../state/reader.ts';
import { mayWrite } from '../state/sharing.ts';
import { words } from '../words/index.ts';
import { dueWords } from './due.ts';
import { type BenchStart, benchStart } from './to-bench.ts';

/** What to do, most urgent first, each with its reasons. */
export function Orders({ orders, facts }: { orders: readonly Order[]; facts: TankFacts }) {
  if (orders.length === 0) return <p>{words.orders.none}</p>;
  return (
    <ol class="orders">
      {orders.map((order) => (
        <OneOrder key={order.key} order={order} facts={facts} />
      ))}
    </ol>
  );
}

function OneOrder({ order, facts }: { order: Order; facts: TankFacts }) {
  const [first] = order.because;
  const start = mayWrite(facts.tank) ? benchStart(order, facts, print.value) : undefined;
  return (
    <li>
      <p class="now">{dueWords(order, now.value, print.value.dates)}</p>
      <div class="what">
        <h3>{withSubscripts(order.say)}</h3>
        {first !== undefined && <p class="reason">{sentence(first.fact)}</p>}
        {order.cautions.map(({ id, wording, deferTo }) => (
          <p key={id} class="remark">
            <strong>{words.orders.care}</strong> {wording}{' '}
            <span class="soft">{words.orders.ask(deferTo)}</span>
          </p>
        ))}
        <Why order={order} />
      </div>
      {start !== undefined && <ToBench start={start} facts={facts} order={order} />}
    </li>
  );
}

function Why({ order }: { order: Order }) {
  const of = words.orders;
  return (
    <details class="why">
      <summary>{of.why}</summary>
      <ul>
        {order.because.map((reason) => (
          <li key={reason.fact}>
            {sentence(reason.fact)} <Source reason={reason} />
          </li>
        ))}
        {order.sure !== null && order.sure < 1 && <li>{of.sure(Math.round(10 * order.sure))}</li>}
        <li>{of.holds(order.holdsWhile, print.value.dates.weekday(Date.parse(order.lookAgain)))}</li>
      </ul>
    </details>
  );
}

const Source = ({ reason }: { reason: Reason }) =>
  reason.source === undefined ? null : <span class="soft">({reason.source})</span>;

function ToBench({ start, facts, order }: { start: BenchStart; facts: TankFacts; order: Order }) {
  const { route } = useLocation();
  const go = () => {
    layOut(facts.tank, start.draft);
    route(`${paths.bench(facts.tank)}#${start.place}`);
  };
  return (
    <button class="act" type="button" aria-label={words.orders.writeOf(order.say)} onClick={go}>
      {words.orders.write}
    </button>
  );
}

/** A fact as a sentence of its own. */
function sentence(fact: string): string {
  const said = withSubscripts(fact);
  return `${said.charAt(0).toUpperCase()}${said.slice(1)}${/[.!?]$/.test(said) ? '' : '.'}`;
}
