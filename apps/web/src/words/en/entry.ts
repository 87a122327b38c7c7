/** Entries of the journal in plain sentences. */
export const entryWords = {
  entry: {
    opened: 'Opened the tank',
    described: 'Described the tank',
    parts: {
      named: (name: string) => `named ${name}`,
      litres: (litres: string) => litres,
      salinity: (s: string) => `salinity ${s}`,
      temperature: (t: string) => t,
      pH: (v: string) => `pH ${v}`,
      alkalinity: (v: string) => `alkalinity ${v} meq/L`,
      surfaces: (list: string) => list,
    },
    materials: {
      'dry-rock': 'dry rock',
      'live-rock': 'live rock',
      sand: 'sand',
      ceramic: 'ceramic media',
      'plastic-media': 'plastic media',
    },
    kit: (analyte: string, steps: string | undefined) =>
      steps === undefined ? `Kit for ${analyte}` : `Kit for ${analyte}, card ${steps}`,
    reading: (analyte: string, read: string) => `${analyte} ${read}`,
    between: (low: string, high: string) => `between ${low} and ${high}`,
    over: (limit: string) => `over ${limit}`,
    under: (limit: string) => `under ${limit}`,
    diluted: (factor: string) => `diluted 1 in ${factor}`,
    dose: (substance: string, amount: string | undefined) =>
      amount === undefined ? `Dosed ${substance}, amount not known` : `Dosed ${substance}, ${amount}`,
    aimTo: (analyte: string, level: string) => `to bring ${analyte} to ${level}`,
    aimBy: (analyte: string, level: string) => `to raise ${analyte} by ${level}`,
    culture: (source: string, litres: string | undefined) =>
      litres === undefined ? `Added ${source}` : `Added ${source}, enough for ${litres}`,
    food: (what: string, grams: string | undefined) =>
      grams === undefined ? `Fed ${what}` : `Fed ${grams} of ${what}`,
    exchange: (size: string | undefined, water: string) =>
      `Changed ${size ?? 'water, amount not known'}${water === '' ? '' : ` for new water: ${water}`}`,
    topoff: (litres: string) => `Topped off ${litres}`,
    arrival: (animals: string) => `In came ${animals}`,
    loss: (animals: string) => `Lost ${animals}`,
    animals: (count: number, animal: string, length: string | undefined) =>
      `${count} ${animal}${length === undefined ? '' : ` of ${length}`}`,
    posture: (item: string, state: 'on' | 'off') => `${item} ${state}`,
    strike: (why: string | undefined) => (why ? `Struck out an entry: ${why}` : 'Struck out an entry'),
    amend: (fields: string) => `Corrected an entry: ${fields}`,
    unknown: (kind: string) =>
      `An entry of a kind this version does not know: “${kind}”. It is kept as it is.`,
    struckAside: (why: string | undefined) => (why ? `struck out: ${why}` : 'struck out'),
    amendedAside: 'corrected later, see above',
    by: (name: string) => name,
    remarkBy: (name: string) => `remark by ${name}`,
    you: 'you',
    someone: 'someone else',
    strikeOut: 'Strike out',
    strikeOutThis: (said: string) => `Strike out “${said}”`,
    strikeRefused: (why: string) => `Not struck out: ${why}`,
    amendIt: 'Correct',
    amendThis: (said: string) => `Correct “${said}”`,
    amendTitle: (said: string) => `Correct: ${said}`,
    amendLede: (when: string) =>
      `Written of ${when}. It stays in the journal as it was; what you save stands in its place.`,
    amendNot:
      'This entry says more than a form of the bench can. Strike it out and write it anew, or correct it in the journal file.',
    amendSave: 'Save the correction',
    amendNothing: 'Nothing was changed.',
    amendLost: 'There is no such entry in this journal, or it was struck out.',
    correct: 'Correct something',
    correctDone: 'Done correcting',
    struckNow: (said: string) => `Struck out: ${said}. The entry stays in the journal, marked.`,
  },
};
