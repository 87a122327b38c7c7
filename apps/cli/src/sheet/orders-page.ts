import type { Order, OrderTo, Reason, Urgency } from '@brinewright/counsel';
import type { Face } from '../paper/face.ts';
import { columnsOf, padEnd, wrap } from '../paper/text.ts';
import { instantOf, percent } from '../paper/words.ts';
import { heading } from './parts.ts';

const urgencyWords: Readonly<Record<Urgency, string>> = {
  now: 'NOW',
  today: 'today',
  soon: 'soon',
  whenever: 'any time',
};
const margin = 10;

/** Orders for a person: the urgency in front, the sentence, and under it, indented, why and how sure. */
export function ordersPage(orders: readonly Order[], name: string, asOf: number, face: Face): string {
  const settings = orders.filter(isSetting);
  const blocks = orders
    .filter((order) => !isSetting(order))
    .map((order) => orderLines(order, face).join('\n'));
  if (settings.length > 0) blocks.push(settingLines(settings, face).join('\n'));
  const nothing = ['Nothing to do. The water goes as it was expected to.'];
  const cautions = cautionLines(orders, face);
  const page = [
    heading(face, face.say(name), instantOf(asOf)),
    ...(blocks.length > 0 ? blocks : nothing),
    ...(cautions.length > 0 ? [[heading(face, 'Mind'), ...cautions].join('\n')] : []),
  ];
  return face.spell(`${page.join('\n\n')}\n`);
}

/** Machines the journal never spoke of: told together, since one look settles them all. */
const isSetting = (order: Order): order is OrderTo<'posture'> =>
  order.do === 'posture' && order.urgency === 'whenever';

function settingLines(orders: readonly OrderTo<'posture'>[], face: Face): string[] {
  const word = face.ink('strong', padEnd(urgencyWords.whenever, margin));
  const said = wrap('Look whether these are so, and note it once:', face.width - margin);
  const head = said.map((line, index) => `${index === 0 ? word : ' '.repeat(margin)}${line}`);
  const items = orders.flatMap(({ what, because }) =>
    hanging(
      '– ',
      `${what.item} ${what.state}${what.until ? `, ${what.until}` : ''}: ${because[0]?.fact ?? ''}`,
      face,
    ),
  );
  return [...head, ...items];
}

function orderLines(order: Order, face: Face): string[] {
  const word = face.ink(
    order.urgency === 'now' ? 'accent' : 'strong',
    padEnd(urgencyWords[order.urgency], margin),
  );
  const said = wrap(face.say(order.say), face.width - margin);
  const head = said.map((line, index) => `${index === 0 ? word : ' '.repeat(margin)}${line}`);
  const reasons = order.because.flatMap((reason) => hanging('– ', reasonWords(reason), face));
  return [...head, ...reasons, ...sureLines(order, face)];
}

const reasonWords = ({ fact, source }: Reason): string =>
  source === undefined ? fact : `${fact} [${source}]`;

function sureLines({ sure }: Order, face: Face): string[] {
  return sure === null ? [] : hanging('', `How sure that this is so: ${percent(sure)}.`, face);
}

function hanging(lead: string, text: string, face: Face): string[] {
  const indent = ' '.repeat(margin);
  const rest = ' '.repeat(columnsOf(lead));
  return wrap(face.say(text), face.width - margin - columnsOf(lead)).map((line, index) =>
    face.ink('quiet', `${indent}${index === 0 ? lead : rest}${line}`),
  );
}

/** Every caution of the list once, the gravest first. */
function cautionLines(orders: readonly Order[], face: Face): string[] {
  const ranks = ['critical', 'high', 'medium'];
  const all = new Map(orders.flatMap(({ cautions }) => cautions.map((one) => [one.id, one] as const)));
  return [...all.values()]
    .sort((a, b) => ranks.indexOf(a.severity) - ranks.indexOf(b.severity))
    .flatMap(({ wording, deferTo }) => {
      const text = deferTo === '-' ? wording : `${wording} Ask: ${deferTo}.`;
      return wrap(face.say(text), face.width - 4).map(
        (line, index) => `${index === 0 ? '  · ' : '    '}${line}`,
      );
    });
}
