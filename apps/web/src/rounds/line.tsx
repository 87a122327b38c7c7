import { useEffect } from 'preact/hooks';
import type { Scale } from '../charts/scale.ts';
import { ticksOf, WindowMark, windowWords } from '../charts/windows.tsx';
import { withSubscripts } from '../format/ions.ts';
import { dueWords } from '../orders/due.ts';
import { keepCurrent } from '../state/course.ts';
import { entriesOf } from '../state/journal.ts';
import { paths } from '../state/paths.ts';
import { now, print } from '../state/reader.ts';
import { words } from '../words/index.ts';
import { testedWords } from './say.ts';
import { isOurs, type Stand, type Told } from './stand.ts';

interface LineProps {
  readonly stand: Stand;
  /** Its place among all that were found, from 0. */
  readonly place: number;
  readonly count: number;
  /** Distance from the top of the list, px. */
  readonly top: number;
  readonly x: Scale;
  readonly hatch: string;
}

/** One tank of many: what it is called, what to do, when it is ready. */
export function Line({ stand, place, count, top, x, hatch }: LineProps) {
  const { tank, name = words.rounds.unnamed, told } = stand;
  const written = entriesOf(tank).length;
  useEffect(() => {
    if (written > 0 && isOurs(tank)) keepCurrent(tank);
  }, [tank, written]);
  return (
    <li aria-posinset={place + 1} aria-setsize={count} style={{ transform: `translateY(${top}px)` }}>
      <h2>
        <a href={paths.tank(tank)}>{name}</a>
      </h2>
      <p class="soft">{footing(stand, written > 0)}</p>
      <p class="to-do">{told?.order !== undefined && <Order order={told.order} />}</p>
      <p class="ready-words">{told === undefined ? '' : windowWords(told, now.value, print.value.dates)}</p>
      <Strip told={told} x={x} hatch={hatch} />
    </li>
  );
}

const Order = ({ order }: { order: NonNullable<Told['order']> }) => (
  <>
    <span class="now">{dueWords(order, now.value, print.value.dates)}</span> {withSubscripts(order.say)}
  </>
);

function footing({ told, behind, testedAt }: Stand, isHere: boolean): string {
  const of = words.rounds;
  const parts = [
    isHere ? testedWords(testedAt, now.value) : of.notHere,
    told === undefined ? of.notReckoned : undefined,
    behind ? of.behind : undefined,
  ];
  return parts.filter((part) => part !== undefined).join(' · ');
}

const HEIGHT = 28;

function Strip({ told, x, hatch }: { told: Told | undefined; x: Scale; hatch: string }) {
  const [from, to] = x.range;
  const today = x(now.value);
  return (
    <svg
      class="chart strip"
      width={to + 1}
      height={HEIGHT}
      viewBox={`0 0 ${to + 1} ${HEIGHT}`}
      aria-hidden="true"
    >
      {ticksOf(x, to - from).map((at) => (
        <line key={at} class="grid" x1={x(at)} x2={x(at)} y1="0" y2={HEIGHT} />
      ))}
      {told !== undefined && <WindowMark sheet={told} now={now.value} x={x} hatch={hatch} y={7} />}
      <line class="today" x1={today} x2={today} y1="0" y2={HEIGHT} />
    </svg>
  );
}
