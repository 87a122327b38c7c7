import type { Ledger, LedgerLine } from '@brinewright/counsel';
import { useId } from 'preact/hooks';
import type { Numbers } from '../format/numbers.ts';
import { words } from '../words/index.ts';

interface LedgerChartProps {
  readonly ledger: Ledger;
  readonly numbers: Numbers;
}

const WIDTH = 920;

/** Where the nitrogen is: one bar to scale where there is room, a row for each place where there is not. */
export function LedgerChart({ ledger, numbers }: LedgerChartProps) {
  const ids = useId();
  const lines = ledger.lines.filter((line) => line.p95 > 0.005 * ledger.put.p95);
  const unit = ledger.whole ? words.ledger.unit : words.ledger.unitPerLitre;
  const most = Math.max(...lines.map((line) => line.p50), 1e-9);
  return (
    <div class="ledger">
      <p>
        {words.ledger.put(
          numbers.amount(ledger.put.p50),
          numbers.amount(ledger.put.p05),
          numbers.amount(ledger.put.p95),
          unit,
        )}
      </p>
      <Bar lines={lines} numbers={numbers} ids={ids} />
      <table class="figures">
        <caption class="hidden-text">{words.ledger.caption(unit)}</caption>
        <thead class="hidden-text">
          <tr>
            <th scope="col">{words.ledger.place}</th>
            <th scope="col">{words.ledger.middle}</th>
            <th scope="col">{words.ledger.band}</th>
          </tr>
        </thead>
        <tbody>
          {lines.map((line) => (
            <tr key={line.place}>
              <th scope="row" class="place">
                {words.ledger.places[line.place]}
              </th>
              <td class="number">{words.ledger.amount(numbers.amount(line.p50), unit)}</td>
              <td class="soft">{words.ledger.range(numbers.amount(line.p05), numbers.amount(line.p95))}</td>
              <td class="bar-cell" aria-hidden="true">
                <svg viewBox="0 0 100 22" preserveAspectRatio="none" height="22" aria-hidden="true">
                  <Pattern id={idOf(`${ids}row`, line)} place={line.place} />
                  <rect
                    class="cell"
                    x="0.5"
                    y="3"
                    height="16"
                    width={Math.max((99 * line.p50) / most, 0.5)}
                    fill={fillOf(line, `${ids}row`)}
                    vector-effect="non-scaling-stroke"
                  />
                </svg>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Bar({ lines, numbers, ids }: { lines: readonly LedgerLine[]; numbers: Numbers; ids: string }) {
  const total = lines.reduce((sum, line) => sum + line.p50, 0) || 1;
  const cells = placed(lines, total, (line) => textOf(line, numbers));
  return (
    <svg viewBox={`0 0 ${WIDTH} 104`} aria-hidden="true">
      {lines.map((line) => (
        <Pattern key={line.place} id={idOf(ids, line)} place={line.place} />
      ))}
      {cells.map(({ line, x, width, label }) => (
        <g key={line.place}>
          <rect class="cell" x={x} y={1} width={width} height={42} fill={fillOf(line, ids)} />
          <path class="leader" d={`M${x + Math.min(width / 2, 8)},43V49L${label + 3},57V63`} />
          <text class="bold" x={label} y={78}>
            {words.ledger.places[line.place]}
          </text>
          <text class="soft" x={label} y={97}>
            {textOf(line, numbers)}
          </text>
        </g>
      ))}
    </svg>
  );
}

const textOf = (line: LedgerLine, numbers: Numbers) =>
  words.ledger.short(numbers.amount(line.p50), numbers.amount(line.p05), numbers.amount(line.p95));

/** Cells to scale; their labels below, pushed apart until none covers another. */
function placed(lines: readonly LedgerLine[], total: number, text: (line: LedgerLine) => string) {
  let x = 1;
  let free = 0;
  const cells = lines.map((line) => {
    const width = Math.max(((WIDTH - 2) * line.p50) / total, 1.5);
    const room = 7.9 * Math.max(text(line).length, words.ledger.places[line.place].length) + 16;
    const label = Math.max(Math.min(x, x + width / 2), free);
    free = label + room;
    const cell = { line, x, width, label, room };
    x += width;
    return cell;
  });
  let limit = WIDTH;
  for (const cell of [...cells].reverse()) {
    cell.label = Math.max(Math.min(cell.label, limit - cell.room + 12), 0);
    limit = cell.label;
  }
  return cells;
}

/** Each place has its own pattern, so that colour is not needed to tell them apart; ammonia stays blank. */
function Pattern({ id, place }: { id: string; place: LedgerLine['place'] }) {
  const { turn, marks } = PATTERNS[place];
  return (
    <defs>
      <pattern
        id={id}
        width="7"
        height="7"
        patternUnits="userSpaceOnUse"
        patternTransform={`rotate(${turn})`}
      >
        <rect width="7" height="7" fill="var(--paper)" />
        <path class="pattern-ink" d={marks} />
      </pattern>
    </defs>
  );
}

const PATTERNS: Readonly<Record<LedgerLine['place'], { readonly turn: number; readonly marks: string }>> = {
  food: { turn: 0, marks: 'M3.5,0V7' },
  ammonia: { turn: 0, marks: '' },
  nitrite: { turn: 45, marks: 'M3.5,0V7' },
  nitrate: { turn: 45, marks: 'M2.5,3.5H4.5' },
  bacteria: { turn: 0, marks: 'M0,3.5H7M3.5,0V7' },
  'taken out': { turn: 0, marks: 'M0,3.5H7' },
  'gas and algae': { turn: -45, marks: 'M3.5,0V4' },
};

const idOf = (ids: string, line: LedgerLine) => `${ids}-${line.place.replaceAll(' ', '-')}`;
const fillOf = (line: LedgerLine, ids: string) => `url(#${idOf(ids, line)})`;
