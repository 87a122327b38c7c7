import type { Field, Tool } from '@brinewright/counsel';

/** Fields that stand together: those asked at once, and those that open. */
export interface Group {
  /** Said above the group where a tool has more than one. */
  readonly title: string | undefined;
  readonly asked: readonly string[];
  readonly folded: readonly string[];
}

type Choices = Readonly<Record<string, string | undefined>>;

/** Fields that matter only after a certain choice. */
const onlyWhen: Readonly<Record<string, Readonly<Record<string, (choices: Choices) => boolean>>>> = {
  'tank-volume': {
    width: ({ shape }) => shape === 'box' || shape === 'bow-front',
    bow: ({ shape }) => shape === 'bow-front',
  },
  refractometer: {
    standard: ({ setWith }) => setWith === 'standard',
    standardShown: ({ setWith }) => setWith === 'standard',
    temperature: ({ compensated }) => compensated === 'no',
  },
  conductivity: { perDegree: ({ compensation }) => compensation === 'fixed' },
};

/** Ids of the fields that matter, in the tool's own order. */
export const fieldsThatMatter = (tool: Tool, choices: Choices): string[] =>
  Object.keys(tool.fields).filter((id) => onlyWhen[tool.id]?.[id]?.(choices) ?? true);

/**
 * The fields of a tool in groups. What a person may leave out folds away, and so does a preset that goes with it: one
 * whose nearest field without a preset, before it, may be left out.
 */
export function groupsOf(tool: Tool, ids: readonly string[]): readonly Group[] {
  const folds = foldingOf(tool);
  const second = ids.filter((id) => id.startsWith('other'));
  const first = ids.filter((id) => !id.startsWith('other'));
  const groups = second.length === 0 ? [ids] : [first, second];
  return groups.map((of) => ({
    title: groups.length === 1 ? undefined : tool.fields[of[0]!]!.title,
    asked: of.filter((id) => !folds.has(id)),
    folded: of.filter((id) => folds.has(id)),
  }));
}

/** The name of a field by itself, away from the group it stands in. */
export function nameOf(tool: Tool, id: string): string {
  const { title } = tool.fields[id]!;
  const group = groupsOf(tool, Object.keys(tool.fields)).find(({ asked, folded }) =>
    [...asked, ...folded].includes(id),
  );
  return group?.title === undefined || group.title === title ? title : `${group.title}: ${uncapital(title)}`;
}

const uncapital = (title: string): string =>
  /^[A-Z][a-z]/.test(title) ? title.charAt(0).toLowerCase() + title.slice(1) : title;

function foldingOf(tool: Tool): ReadonlySet<string> {
  const folds = new Set<string>();
  let leaving = false;
  for (const [id, field] of Object.entries(tool.fields)) {
    if (field.preset === undefined) leaving = mayBeLeftOut(field);
    if (leaving) folds.add(id);
  }
  return folds;
}

export const mayBeLeftOut = (field: Field): boolean => 'optional' in field && field.optional === true;
