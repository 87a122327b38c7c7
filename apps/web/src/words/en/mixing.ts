import { lazily } from '../../format/lazily.ts';

const list = lazily(() => new Intl.ListFormat('en', { type: 'conjunction' }));
const joined = (parts: readonly string[]) => list().format(parts);
const lower = (title: string) =>
  /^[A-Z][a-z]/.test(title) ? title.charAt(0).toLowerCase() + title.slice(1) : title;

/** Every phrase of the mixing room that the tools do not bring themselves, in English. */
export const mixingEn = {
  title: 'Mixing room',
  lede: 'Water, salt, ammonia and minerals: how much, and how sure.',
  find: 'What do you want to do?',
  findHint: 'a word will do: salt, nitrate, refractometer',
  found: (count: number) =>
    count === 0 ? 'Nothing here by that word.' : count === 1 ? 'One sheet' : `${count} sheets`,
  foundNone: 'Try another word, or empty the box to see everything.',
  last: 'Used last',
  shelvesLabel: 'Shelves',
  back: 'Mixing room',

  lost: 'There is no such sheet in the mixing room',
  lostRemedy: 'See what there is',

  alsoCalled: {
    'tank-volume': 'volume litres gallons capacity glass aquarium bowfront corner hex cylinder floor weight',
    'sump-volume': 'overflow power cut flood siphon',
    'volume-by-dose': 'volume litres tracer dilution',
    'volume-by-salt': 'volume litres tracer dilution',
    'new-batch': 'mix saltwater prepare bucket new water weigh',
    'calibrate-salt': 'calibrate learn my salt strength grams per litre',
    'raise-salinity': 'increase salt too low sg ppt',
    'lower-salinity': 'reduce decrease dilute salt too high sg ppt',
    'replace-evaporation': 'top off topoff top-up topup evaporation fresh',
    'blend-waters': 'mixture combine pour together free ammonia ph',
    'water-changes': 'exchange reset dilute percentage partial no3',
    'warm-new-water': 'heat temperature match bucket cold hot',
    'running-exchange': 'continuous drip flow through',
    'one-water': 'density oxygen carbonate co2 nh3 free ammonia un-ionised aragonite',
    hydrometer: 'sg specific gravity swing arm float',
    'gravity-scales': 'sg ppt convert specific gravity salinity',
    refractometer: 'calibrate ppt brine zero distilled fresh water rodi',
    conductivity: 'probe meter ms/cm ec',
    'ammonia-from-salt': 'nh4cl ammonium chloride powder weigh feed bacteria',
    'ammonia-from-bottle': 'drops millilitres solution strength percent feed bacteria',
    'ammonia-stock': 'recipe solution bottle make',
    'dose-check': 'wrong unexpected reading test kit',
    'nitrogen-ions': 'convert conversion ppm nh3 nh4 no2 no3 n units',
    'raise-alkalinity': 'kh dkh buffer baking soda bicarbonate carbonate kalkwasser limewater meq',
    'raise-calcium': 'ca cacl2',
    'raise-magnesium': 'mg mgcl2 mgso4',
  } as Readonly<Record<string, string>>,

  tank: {
    label: 'For which tank',
    none: 'no tank in particular',
    hint: 'What its journal knows is filled in.',
    unnamed: 'Unnamed tank',
  },

  known: {
    read: (day: string) => `read ${day}`,
    stated: 'from its journal',
    from: (tank: string, source: string) => `${tank}, ${source}`,
    says: (tank: string, number: string) => `${tank}’s journal says ${number}.`,
    use: 'Use that',
    useOf: (field: string) => `${field}: use the number of the journal`,
  },

  field: {
    needed: 'needed',
    howMuch: 'How much of it',
    asWritten: 'as written',
    unitOf: (field: string) => `${field}: unit`,
    errorOf: (field: string) => `${field}: give or take`,
    addError: (field: string) => `${field}: add how sure the number is, give or take`,
    that: (canonical: string) => `That is ${canonical}.`,
    whereEmpty: (preset: string) => `${preset} where empty`,
    pick: (field: string, value: string) => `${field}: ${value}`,
    fold: (titles: readonly string[]) => `If you know it: ${joined(titles.map(lower))}`,
    foldMany: (titles: readonly string[], more: number) =>
      `If you know it: ${titles.map(lower).join(', ')} and ${more} more`,
  },

  fault: (problem: string, remedy: string) => {
    const said = problem.charAt(0).toUpperCase() + problem.slice(1);
    return `${said}${/[.!?]$/.test(said) ? '' : '.'} ${remedy}`;
  },

  answer: {
    title: 'Answer',
    missing: (titles: readonly string[]) => `Still to fill in: ${joined(titles.map(lower))}.`,
    mend: (titles: readonly string[]) => `No answer yet: look at ${joined(titles.map(lower))}.`,
    gist: (title: string, figure: string) => `${title}: ${figure}`,
    mindFirst: 'Read the caution first.',
    mind: 'Mind',
    care: 'Take care.',
    ask: (whom: string) => `In doubt, ask: ${whom}.`,
    gate: 'Before you go on',
    gateAct: 'I have read this; show the amount',
    working: 'How this was reckoned',
    workingBy: (relation: string, source: string) => `${relation} (${source})`,
    givens: 'Reckoned from',
    steps: 'Step by step',
    range: 'The error after ± is right about two times in three.',
  },

  write: {
    title: 'Write it down once it is done',
    into: (tank: string) => `Into the journal of ${tank}. Tick what was done.`,
    noTank: 'Choose a tank at the top of the sheet to write this into its journal.',
    oneOf: (at: number, all: number) => `${at} of ${all}`,
    unread: 'tick it once you have measured it',
    nothing: 'Nothing is ticked.',
    act: 'Write it down',
    again: 'Write it down again',
    stands: 'This stands in the journal already.',
  },

  hand: {
    link: 'Link to this sheet',
    copied: 'The link is copied: whoever opens it finds these numbers.',
    here: 'The link, to copy:',
    print: 'Print',
    empty: 'Empty the sheet',
    emptied: 'The sheet is empty.',
    linked: 'These numbers came with the link.',
    putBack: 'Put back what stood here',
  },
};
