import { cautionTable } from './table.ts';

/** Id of a caution in the table. */
export type CautionId = (typeof cautionTable)[number]['id'];

/** A caution as it is shown: what to do, whom to ask, how sure its source is. */
export type Caution = {
  id: CautionId;
  topic: string;
  severity: 'medium' | 'high' | 'critical';
  when: string;
  wording: string;
  deferTo: string;
  source: string;
  evidence: 'A' | 'B' | 'C' | 'T';
};

/** Every caution. */
export const cautions: readonly Caution[] = cautionTable;

const order = { critical: 0, high: 1, medium: 2 } as const;

/** The named cautions, each once, the most severe first; `words` fill the places a wording leaves open. */
export const cautionsFor = (
  ids: readonly CautionId[],
  words: Readonly<Record<string, string>> = {},
): Caution[] =>
  cautions
    .filter(({ id }) => ids.includes(id))
    .map((caution) => ({
      ...caution,
      wording: caution.wording.replace(/\{(\w+)\}/g, (open, name: string) => words[name] ?? open),
    }))
    .sort((a, b) => order[a.severity] - order[b.severity]);
