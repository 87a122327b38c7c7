export interface Measured {
  readonly what: string;
  readonly entries: number;
  readonly seconds: number;
  /** Of one request or transaction, s. */
  readonly times: readonly number[];
}

export const seconds = (from: number): number => (performance.now() - from) / 1000;

/** Several clients at once, each doing its jobs one after another; a job tells how many entries it moved. */
export async function measure(
  what: string,
  clients: readonly (readonly (() => Promise<number>)[])[],
): Promise<Measured> {
  const times: number[] = [];
  let entries = 0;
  const began = performance.now();
  await Promise.all(
    clients.map(async (jobs) => {
      for (const job of jobs) {
        const start = performance.now();
        // Not `entries += await …`: that reads the sum before the others have added theirs.
        const count = await job();
        entries += count;
        times.push(seconds(start));
      }
    }),
  );
  return { what, entries, seconds: seconds(began), times };
}

/** The value that a share of all are not above. */
function percentile(times: readonly number[], share: number): number {
  const sorted = [...times].sort((a, b) => a - b);
  return sorted[Math.ceil(sorted.length * share) - 1] ?? Number.NaN;
}

export const median = (values: readonly number[]): number => percentile(values, 0.5);

const milliseconds = (value: number): string => `${(1000 * value).toFixed(1)} ms`;

export const rateOf = ({ entries, seconds: took }: Measured): number => entries / took;

export function print(title: string, rows: readonly Measured[]): void {
  console.log(`\n${title}`);
  for (const row of rows)
    console.log(
      `  ${row.what.padEnd(32)}${String(row.entries).padStart(8)} entries ` +
        `${Math.round(rateOf(row)).toLocaleString('en').padStart(9)}/s  ` +
        `p50 ${milliseconds(percentile(row.times, 0.5)).padStart(9)}  p99 ${milliseconds(percentile(row.times, 0.99)).padStart(9)}`,
    );
}
