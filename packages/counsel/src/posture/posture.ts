import { type Bearings, dayWords, lastReading } from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { Order, Reason } from '../orders/order.ts';
import { figure } from '../orders/words.ts';
import type { Proof } from '../readiness/proof.ts';
import { dayMs } from '../situation/situation.ts';

type State = 'on' | 'off';

/** What one machine should be doing at this stage, why, and until when. */
interface Wanted {
  readonly item: string;
  readonly state: State;
  readonly why: Reason;
  /** "until the tank is proven" */
  readonly until?: string;
  /** Told even where nobody ever spoke of it. */
  readonly always: boolean;
  /** Animals are in danger while it is otherwise. */
  readonly vital?: boolean;
  /** Nothing is lost where it is done some days later. */
  readonly mayWait?: boolean;
}

const practice = 'customary practice';
/** Days in which a fresh culture settles, and in which carbon stays out beside it. */
const settlesDays = 3;
const carbonOutDays = 7;
/** Order in which machines go on after the proof, one at a time. */
const afterwards =
  'after the proof, in this order: fine filter, skimmer with the first animals, light six hours a day, lamp or ozone last and only if wanted';

/** Machines that should be on or off now, where the journal says otherwise or nothing. */
export function postureOrders(bearings: Bearings, proof: Proof): Order[] {
  const machines = wantedOf(bearings, proof).flatMap((wanted) => {
    const said = bearings.facts.postures.findLast(({ item }) => item === wanted.item);
    if (said?.state === wanted.state || (!said && !wanted.always)) return [];
    return [postureOrder(bearings, wanted, said?.entry)];
  });
  return [...warmOrder(bearings, proof), ...machines];
}

/** °C below which an empty tank is warmed, and what to. */
const coldBelow = 23;

/** An empty tank that was read cold is warmed: nothing else shortens its start as much for as little. */
function warmOrder(bearings: Bearings, proof: Proof): Order[] {
  const reading = lastReading(bearings, 'temperature');
  const value = reading?.value;
  if (bearings.animals.present || proof.state === 'proven' || value === undefined || value >= coldBelow)
    return [];
  return [
    order(bearings, {
      key: 'warm',
      do: 'posture',
      what: { item: 'heater', state: 'on' },
      say: `Warm the water from ${figure(value)} to 25–28 °C, with the tank empty at any pace, and read it again a day later.`,
      because: [
        { fact: `it was read ${figure(value)} °C`, entry: reading!.entry },
        {
          fact: 'at 25–28 °C bacteria grow twice as fast as at 15–18; two smaller heaters are safer than one',
          source: 'Q10 near 2; customary practice',
        },
      ],
      urgency: 'today',
      holdsWhile: `the water of an empty, unproven tank was last read below ${coldBelow} °C`,
      cautions: ['CAU-E1', 'CAU-E3', 'CAU-E4'],
    }),
  ];
}

function postureOrder(bearings: Bearings, wanted: Wanted, entry: string | undefined): Order {
  const { item, state, why, until } = wanted;
  const told = entry !== undefined;
  const urgency = told ? (wanted.vital ? 'now' : wanted.mayWait ? 'soon' : 'today') : 'whenever';
  const name = names[item] ?? item;
  const spoken = told ? `Switch the ${name} ${state}` : `See that the ${name} is ${state}`;
  return order(bearings, {
    key: `posture:${item}`,
    do: 'posture',
    what: { item, state, ...(until === undefined ? {} : { until }) },
    say: `${spoken}${until === undefined ? '' : `, ${until}`}.`,
    because: [
      why,
      told
        ? { fact: `the journal last says it is ${state === 'on' ? 'off' : 'on'}`, entry }
        : { fact: 'the journal does not say; note it once' },
      item === 'light' && state === 'off'
        ? { fact: `machines go on ${afterwards}`, source: practice }
        : undefined,
    ],
    urgency,
    holdsWhile: `the stage asks for the ${name} to be ${state} and the journal does not say that it is`,
    cautions:
      item === 'heater' || item === 'flow'
        ? ['CAU-E3', 'CAU-E4']
        : item === 'ozone'
          ? ['CAU-G2']
          : item === 'uv'
            ? ['CAU-G3']
            : [],
  });
}

const names: Readonly<Record<string, string>> = {
  uv: 'ultraviolet lamp',
  sock: 'fine filter (sock, floss or sponge for particles)',
  carbon: 'carbon',
  flow: 'flow (return and circulation pumps)',
  aeration: 'air (stone or strong surface movement)',
  topoff: 'top-off with fresh water',
};

function wantedOf(bearings: Bearings, proof: Proof): Wanted[] {
  const { animals, facts, asOf } = bearings;
  const culture = facts.cultures.findLast(({ at }) => at <= asOf);
  const age = culture ? (asOf - culture.at) / dayMs : Infinity;
  return [
    {
      item: 'aeration',
      state: 'on',
      always: true,
      vital: animals.present,
      why: { fact: 'each mg of nitrogen turned over takes 4.6 mg of oxygen', source: 'stoichiometry' },
    },
    {
      item: 'flow',
      state: 'on',
      always: true,
      vital: animals.present,
      why: { fact: 'bacteria on surfaces suffocate in still water', source: practice },
    },
    {
      item: 'heater',
      state: 'on',
      always: true,
      vital: animals.present,
      why: {
        fact: 'at 25–28 °C bacteria grow twice as fast as at 15–18; two smaller heaters are safer than one',
        source: 'Q10 near 2; customary practice',
      },
    },
    ...(animals.present ? stockedPosture() : emptyPosture(bearings, proof)),
    ...culturePosture(bearings, age),
  ];
}

/** What was switched off for the start is easily forgotten afterwards. */
const lightAgain: Wanted = {
  item: 'light',
  state: 'on',
  always: false,
  mayWait: true,
  until: 'six hours a day at first',
  why: {
    fact: 'it was only off for the start: the bacteria have settled, and what algae take now hides nothing; more light later, step by step',
    source: practice,
  },
};

const stockedPosture = (): Wanted[] => [
  lightAgain,
  {
    item: 'skimmer',
    state: 'on',
    always: false,
    why: { fact: 'from the first animals on it takes out what they leave', source: practice },
  },
  {
    item: 'topoff',
    state: 'on',
    always: false,
    why: { fact: 'evaporation raises salinity: 5 % lost takes 35 to 36.8', source: 'conservation of salt' },
  },
];

function emptyPosture({ facts }: Bearings, proof: Proof): Wanted[] {
  if (proof.state === 'proven')
    return [
      {
        item: 'sock',
        state: 'on',
        always: false,
        why: { fact: 'the bacteria have settled: fine filtration takes nothing they need', source: practice },
      },
      lightAgain,
    ];
  const decay = facts.route === 'organic';
  const until = 'until the tank is proven';
  return [
    {
      item: 'light',
      state: 'off',
      always: true,
      until,
      why: {
        fact: 'the bacteria need none, strong light slows them, and algae would take the ammonia and look like progress',
        source: 'SRAC 4502 (DeLong & Losordo 2012)',
      },
    },
    ...(decay
      ? []
      : [
          {
            item: 'skimmer',
            state: 'off',
            always: true,
            until: 'until the first animals come',
            why: {
              fact: 'with ammonia alone it has nothing to skim, and it would take a fresh culture out',
              source: practice,
            },
          } as const,
        ]),
    {
      item: 'uv',
      state: 'off',
      always: false,
      until,
      why: { fact: 'it kills bacteria in the water before they settle', source: practice },
    },
    {
      item: 'ozone',
      state: 'off',
      always: false,
      until,
      why: { fact: 'what it leaves in the water harms the film of bacteria', source: practice },
    },
  ];
}

/** The first days of a culture: nothing that takes it out of the water again. */
function culturePosture(bearings: Bearings, age: number): Wanted[] {
  const end = (days: number): string =>
    `until ${dayWords(bearings, new Date(bearings.asOf + (days - age) * dayMs).toISOString())}`;
  const found: Wanted[] = [];
  if (age < settlesDays)
    found.push({
      item: 'sock',
      state: 'off',
      always: true,
      until: end(settlesDays),
      why: {
        fact: 'a culture needs about three days to settle on surfaces; fine filters take it out before',
        source: practice,
      },
    });
  if (age < carbonOutDays)
    found.push({
      item: 'carbon',
      state: 'off',
      always: false,
      until: end(carbonOutDays),
      why: { fact: 'in the first week of a culture carbon may take what it grows in', source: practice },
    });
  return found;
}
