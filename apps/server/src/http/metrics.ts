type Labels = Readonly<Record<string, string | number>>;

/** Counts and times of this process, in the Prometheus text format 0.0.4. */
export interface Metrics {
  count(name: CounterName, labels?: Labels, by?: number): void;
  /** Seconds something took. */
  time(name: TimerName, labels: Labels, seconds: number): void;
  text(): string;
}

const COUNTERS = {
  brinewright_requests_total: 'Requests answered.',
  brinewright_entries_added_total: 'Entries new to the journal.',
  brinewright_entries_known_total: 'Entries handed over that were there already.',
  brinewright_tasks_total: 'Slow work done, by how it ended.',
  brinewright_reminders_total: 'Reminders handed to push services, by what became of them.',
  brinewright_probe_values_total: 'Values received from probes, by what became of them.',
} as const;

const TIMERS = {
  brinewright_request_seconds: 'Time to answer a request.',
  brinewright_reckoning_seconds: 'Time to reckon one answer of a tank.',
} as const;

type CounterName = keyof typeof COUNTERS;
type TimerName = keyof typeof TIMERS;

const BOUNDS = [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 30] as const;

interface Histogram {
  readonly labels: string;
  readonly buckets: number[];
  sum: number;
  count: number;
}

export function newMetrics(): Metrics {
  const counters = new Map<CounterName, Map<string, number>>();
  const timers = new Map<TimerName, Map<string, Histogram>>();
  return {
    count(name, labels = {}, by = 1) {
      const series = within(counters, name, () => new Map<string, number>());
      const key = labelText(labels);
      series.set(key, (series.get(key) ?? 0) + by);
    },
    time(name, labels, seconds) {
      const series = within(timers, name, () => new Map<string, Histogram>());
      const key = labelText(labels);
      const histogram = within(series, key, () => ({
        labels: key,
        buckets: BOUNDS.map(() => 0),
        sum: 0,
        count: 0,
      }));
      histogram.sum += seconds;
      histogram.count += 1;
      for (const [index, bound] of BOUNDS.entries())
        if (seconds <= bound) histogram.buckets[index] = (histogram.buckets[index] ?? 0) + 1;
    },
    text: () => `${[...counterLines(counters), ...timerLines(timers), ...processLines()].join('\n')}\n`,
  };
}

function within<K, V>(map: Map<K, V>, key: K, make: () => V): V {
  const known = map.get(key);
  if (known !== undefined) return known;
  const made = make();
  map.set(key, made);
  return made;
}

const escaped = (value: string): string =>
  value.replace(/[\\"\n]/g, (mark) => (mark === '\n' ? '\\n' : `\\${mark}`));

/** `method="GET",status="200"` */
const labelText = (labels: Labels): string =>
  Object.entries(labels)
    .map(([name, value]) => `${name}="${escaped(String(value))}"`)
    .join(',');

const braced = (labels: string): string => (labels === '' ? '' : `{${labels}}`);

function* counterLines(counters: ReadonlyMap<CounterName, ReadonlyMap<string, number>>): Generator<string> {
  for (const [name, series] of counters) {
    yield `# HELP ${name} ${COUNTERS[name]}`;
    yield `# TYPE ${name} counter`;
    for (const [labels, value] of series) yield `${name}${braced(labels)} ${value}`;
  }
}

function* timerLines(timers: ReadonlyMap<TimerName, ReadonlyMap<string, Histogram>>): Generator<string> {
  for (const [name, series] of timers) {
    yield `# HELP ${name} ${TIMERS[name]}`;
    yield `# TYPE ${name} histogram`;
    for (const { labels, buckets, sum, count } of series.values()) {
      const before = labels === '' ? '' : `${labels},`;
      for (const [index, bound] of BOUNDS.entries())
        yield `${name}_bucket{${before}le="${bound}"} ${buckets[index]}`;
      yield `${name}_bucket{${before}le="+Inf"} ${count}`;
      yield `${name}_sum${braced(labels)} ${sum}`;
      yield `${name}_count${braced(labels)} ${count}`;
    }
  }
}

function* processLines(): Generator<string> {
  yield '# HELP process_resident_memory_bytes Resident memory size in bytes.';
  yield '# TYPE process_resident_memory_bytes gauge';
  yield `process_resident_memory_bytes ${process.memoryUsage.rss()}`;
  yield '# HELP process_cpu_seconds_total Total user and system CPU time spent in seconds.';
  yield '# TYPE process_cpu_seconds_total counter';
  const { user, system } = process.cpuUsage();
  yield `process_cpu_seconds_total ${(user + system) / 1e6}`;
}
