/** Name of a published relation in `relations`. */
export type RelationId = keyof typeof relations;

/** An input whose range a relation states. */
export type RangedInput = 'salinity' | 'temperatureC';

/** A published relation: what it gives, whose it is, where it holds and what it rests on. */
export type Relation = {
  title: string;
  /** Short codes of docs/references.md. */
  source: string;
  range?: Partial<Record<RangedInput, readonly [low: number, high: number]>>;
  /** Relations whose values it is computed from: their ranges are its ranges too. */
  builtOn?: readonly string[];
};

/** Every relation with a range or a source to report. */
export const relations = {
  'practical-salinity': {
    title: 'practical salinity scale 1978',
    source: 'PL80, FM83',
    range: { salinity: [2, 42], temperatureC: [-2, 35] },
  },
  'practical-salinity-low': {
    title: 'extension of practical salinity below 2',
    source: 'HDW86',
    range: { salinity: [0, 2], temperatureC: [-2, 35] },
  },
  density: {
    title: 'EOS-80 density at one atmosphere',
    source: 'MP81',
    range: { salinity: [0, 42], temperatureC: [-2, 40] },
  },
  'heat-capacity': {
    title: 'heat capacity at one atmosphere',
    source: 'MPD73',
    range: { salinity: [0, 40], temperatureC: [0, 35] },
  },
  'reference-salinity': { title: 'Reference-Composition Salinity', source: 'MFWM08' },
  'specific-gravity': { title: 'specific gravity', source: 'MP81', builtOn: ['density'] },
  hydrometer: { title: 'glass hydrometer', source: 'ISO1768', builtOn: ['density'] },
  'refractive-index-QF95': {
    title: 'refractive index of seawater',
    source: 'QF95',
    range: { salinity: [0, 35], temperatureC: [0, 30] },
  },
  'refractive-index-MS90': {
    title: 'refractive index of seawater',
    source: 'MS90',
    range: { salinity: [0, 43], temperatureC: [0, 30] },
  },
  'bisulfate-D90a': {
    title: 'dissociation of bisulfate',
    source: 'D90a',
    range: { salinity: [5, 45], temperatureC: [0, 45] },
  },
  'fluoride-DR79': { title: 'dissociation of hydrogen fluoride', source: 'DR79' },
  'fluoride-PF87': {
    title: 'dissociation of hydrogen fluoride',
    source: 'PF87',
    range: { salinity: [10, 40], temperatureC: [9, 33] },
  },
  'ph-free': { title: 'free pH scale', source: 'D90a', builtOn: ['bisulfate-D90a'] },
  'ph-seawater': {
    title: 'seawater pH scale',
    source: 'D90a, DR79',
    builtOn: ['bisulfate-D90a', 'fluoride-DR79'],
  },
  'ph-nbs': {
    title: 'NBS readings in seawater',
    source: 'TWB82',
    range: { salinity: [20, 40] },
    builtOn: ['ph-seawater'],
  },
  'tris-buffer': {
    title: 'Tris buffer in artificial seawater',
    source: 'DD98',
    range: { salinity: [20, 40], temperatureC: [0, 45] },
  },
  'ammonium-CW95': {
    title: 'dissociation of ammonium',
    source: 'CW95',
    range: { salinity: [0, 40], temperatureC: [-2, 40] },
  },
  'ammonium-YM95': {
    title: 'dissociation of ammonium',
    source: 'YM95',
    range: { salinity: [0, 45], temperatureC: [0, 45] },
  },
  'ammonium-JW80': {
    title: 'dissociation of ammonium',
    source: 'JW80',
    range: { salinity: [5, 40], temperatureC: [5, 25] },
  },
  'ammonium-BELL07': { title: 'dissociation of ammonium', source: 'BELL07, KCB77' },
  'ammonium-WAC173': { title: 'dissociation of ammonium', source: 'WAC173' },
  'ammonium-EPA89': {
    title: 'dissociation of ammonium',
    source: 'EPA89',
    range: { salinity: [0, 40.9] },
  },
  'ammonium-BB78': {
    title: 'table of free ammonia in seawater',
    source: 'BB78',
    range: { salinity: [32, 40], temperatureC: [0, 25] },
  },
  'ammonium-EM75': {
    title: 'dissociation of ammonium in fresh water',
    source: 'EM75',
    range: { salinity: [0, 1], temperatureC: [0, 50] },
  },
  'carbonic-L00': {
    title: 'dissociation of carbonic acid',
    source: 'L00',
    range: { salinity: [19, 43], temperatureC: [2, 35] },
  },
  'carbonic-M10': {
    title: 'dissociation of carbonic acid',
    source: 'M10',
    range: { salinity: [1, 50], temperatureC: [0, 50] },
    builtOn: ['ph-seawater'],
  },
  'carbon-dioxide-W74': {
    title: 'solubility of carbon dioxide',
    source: 'W74, WP80',
    range: { salinity: [0, 45], temperatureC: [-1, 45] },
  },
  'boric-D90b': {
    title: 'dissociation of boric acid',
    source: 'D90b',
    range: { salinity: [5, 45], temperatureC: [0, 45] },
  },
  'water-M95': { title: 'ion product of water', source: 'M95', builtOn: ['ph-seawater'] },
  'phosphoric-YM95': {
    title: 'dissociation of phosphoric acid',
    source: 'YM95',
    range: { salinity: [0, 45], temperatureC: [0, 45] },
    builtOn: ['ph-seawater'],
  },
  'carbonate-system': {
    title: 'carbonate system',
    source: 'D81, L00, W74, D90b, M95',
    builtOn: ['carbonic-L00', 'carbon-dioxide-W74', 'boric-D90b', 'water-M95', 'density'],
  },
  'carbonate-system-low': {
    title: 'carbonate system below S = 19',
    source: 'D81, M10, W74, D90b, M95',
    builtOn: ['carbonic-M10', 'carbon-dioxide-W74', 'boric-D90b', 'water-M95', 'density'],
  },
  'calcium-carbonate': {
    title: 'solubility of calcium carbonate',
    source: 'MU83',
    range: { salinity: [5, 44], temperatureC: [5, 40] },
  },
  oxygen: {
    title: 'oxygen saturation',
    source: 'GG92, BK84',
    range: { salinity: [0, 42], temperatureC: [-2, 40] },
  },
} as const satisfies Record<string, Relation>;

/** One input that lies outside the range of a relation. */
export type OutOfRange = {
  relation: RelationId;
  title: string;
  source: string;
  input: RangedInput;
  value: number;
  low: number;
  high: number;
  /** False: the relation asked for is itself outside its range. True: a relation it is built on is. */
  inherited: boolean;
};

/** A value beside what is to be said of its range; empty `outside` means every relation behind it holds there. */
export type Checked<T> = { value: T; outside: OutOfRange[] };

/** Where these inputs lie outside the range of a relation, or of any relation it is built on; each said once. */
export function rangeOf(id: RelationId, inputs: Partial<Record<RangedInput, number>>): OutOfRange[] {
  const found = new Map<string, OutOfRange>();
  const visit = (relationId: RelationId, inherited: boolean): void => {
    const relation: Relation = relations[relationId];
    for (const [input, [low, high]] of Object.entries(relation.range ?? {}) as [
      RangedInput,
      [number, number],
    ][]) {
      const value = inputs[input];
      const key = `${relationId}/${input}`;
      if (value === undefined || (value >= low && value <= high) || found.has(key)) continue;
      const { title, source } = relation;
      found.set(key, { relation: relationId, title, source, input, value, low, high, inherited });
    }
    for (const below of relation.builtOn ?? []) visit(below as RelationId, true);
  };
  visit(id, false);
  return [...found.values()];
}

/** A value with the range of the relations behind it; each told once. */
export const checked = <T>(
  value: T,
  ids: readonly RelationId[],
  inputs: Partial<Record<RangedInput, number>>,
): Checked<T> => {
  const seen = new Map<string, OutOfRange>();
  for (const note of ids.flatMap((id) => rangeOf(id, inputs))) {
    const key = `${note.relation}/${note.input}`;
    const earlier = seen.get(key);
    if (!earlier || (earlier.inherited && !note.inherited)) seen.set(key, note);
  }
  return { value, outside: [...seen.values()] };
};

const inputWords: Record<RangedInput, string> = { salinity: 'salinity', temperatureC: 'temperature' };

/** One sentence for a person. */
export const sayOutOfRange = (note: OutOfRange): string =>
  `${inputWords[note.input]} ${note.value} lies outside ${note.low}–${note.high}, where ${note.title} [${note.source}] holds`;
