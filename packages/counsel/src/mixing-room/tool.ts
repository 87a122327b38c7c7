import { InputFault } from '../input-fault.ts';
import type { Worked } from '../worked.ts';
import { type Field, type Given, readField } from './fields.ts';

/** Where a tool stands in the mixing room. */
export type Shelf = 'volume' | 'water' | 'instruments' | 'ammonia' | 'minerals';

/** A tool as screens and terminals see it: what it is for, what it asks, and the answer to a filled-in sheet. */
export type Tool = {
  id: string;
  shelf: Shelf;
  title: string;
  purpose: string;
  fields: Readonly<Record<string, Field>>;
  /** Answers texts as a person wrote them, by field id. Throws `InputFault` naming the field. */
  answer: (texts: Readonly<Record<string, string | undefined>>) => Worked;
};

/** A tool with its arithmetic typed by its fields. */
type Definition<F extends Readonly<Record<string, Field>>> = Omit<Tool, 'answer' | 'fields'> & {
  fields: F;
  compute: (given: Given<F>) => Worked;
};

/** Makes a tool from its definition: reading and bounding of fields is done here, once for every face. */
export function defineTool<const F extends Readonly<Record<string, Field>>>(definition: Definition<F>): Tool {
  const { compute, ...described } = definition;
  return {
    ...described,
    answer: (texts) => {
      for (const id of Object.keys(texts))
        if (!Object.hasOwn(described.fields, id))
          throw new InputFault(
            id,
            'this tool has no such field',
            `Its fields are ${Object.keys(described.fields).join(', ')}.`,
          );
      const given = Object.fromEntries(
        Object.entries(described.fields).map(([id, field]) => [id, readField(id, field, texts[id])]),
      );
      return compute(given as Given<F>);
    },
  };
}
