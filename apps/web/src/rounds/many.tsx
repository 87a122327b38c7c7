import { computed, signal } from '@preact/signals';
import { useId, useRef } from 'preact/hooks';
import { linear } from '../charts/scale.ts';
import { useWidth } from '../charts/use-width.ts';
import { Hatch, windowDomain } from '../charts/windows.tsx';
import { Choice, Field, TextInput } from '../parts/field.tsx';
import { now } from '../state/reader.ts';
import { words } from '../words/index.ts';
import { Axis } from './axis.tsx';
import { Line } from './line.tsx';
import { EVERYTHING, type First, type Shown, type Wanted, wantedOf } from './order.ts';
import { stands } from './stand.ts';
import { useInView } from './use-in-view.ts';

/** What is looked for stays while one goes to a tank and comes back. */
const wanted = signal<Wanted>(EVERYTHING);

const want = (part: Partial<Wanted>) => {
  wanted.value = { ...wanted.value, ...part };
};

const found = computed(() => wantedOf(stands.value, wanted.value, now.value));
const told = computed(() => found.value.flatMap((stand) => (stand.told === undefined ? [] : [stand.told])));
const domain = computed(() => windowDomain(told.value, now.value));

/** Many tanks: a line each, of which only those in view are drawn, on one axis of time. */
export function Many() {
  const count = found.value.length;
  const list = useRef<HTMLUListElement>(null);
  const { first, last, height } = useInView(list, count);
  const axis = useRef<HTMLDivElement>(null);
  const width = useWidth(axis, 300);
  const hatch = useId();
  const x = linear(domain.value, [1, width - 1]);
  const drawn = found.value.slice(first, last);
  return (
    <>
      <Search found={count} all={stands.value.length} />
      <section class="many" aria-label={words.rounds.axis}>
        <svg class="chart hidden-text" aria-hidden="true">
          <Hatch id={hatch} />
        </svg>
        <Axis x={x} now={now.value} frame={axis} />
        <ul ref={list} style={{ blockSize: `${count * height}px` }}>
          {drawn.map((stand, i) => (
            <Line
              key={stand.tank}
              stand={stand}
              place={first + i}
              count={count}
              top={(first + i) * height}
              x={x}
              hatch={hatch}
            />
          ))}
        </ul>
      </section>
    </>
  );
}

function Search({ found, all }: { found: number; all: number }) {
  const { name, shown, first } = wanted.value;
  const of = words.rounds;
  return (
    <search>
      <div class="form">
        <Field label={of.find}>
          <TextInput value={name} onValue={(text) => want({ name: text })} />
        </Field>
        <Field label={of.shown}>
          <Choice
            value={shown}
            onValue={(next) => want({ shown: next })}
            options={pairs<Shown>(of.showing)}
          />
        </Field>
        <Field label={of.first}>
          <Choice value={first} onValue={(next) => want({ first: next })} options={pairs<First>(of.firsts)} />
        </Field>
      </div>
      <p class="soft said-now" role="status">
        {of.found(found, all)}
      </p>
    </search>
  );
}

const pairs = <T extends string>(table: Readonly<Record<T, string>>) =>
  Object.entries(table) as unknown as readonly (readonly [T, string])[];
