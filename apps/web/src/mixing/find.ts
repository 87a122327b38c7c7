import { mixingTools, shelves, type Tool } from '@brinewright/counsel';
import { mixingWords } from '../words/mixing.ts';

/** Everything a person may call a tool by. */
const wordsOf = (tool: Tool): string =>
  [
    tool.title,
    tool.purpose,
    tool.id,
    shelves[tool.shelf],
    mixingWords.alsoCalled[tool.id] ?? '',
    ...Object.values(tool.fields).flatMap(({ title, kind, ...rest }) => [
      title,
      ...('options' in rest ? Object.values(rest.options) : []),
    ]),
  ]
    .join(' ')
    .toLowerCase();

/** The tools that every word typed speaks of; those it names in their titles come first. */
export function toolsFor(typed: string): readonly Tool[] {
  const asked = typed.toLowerCase().split(/\s+/).filter(Boolean);
  const speaks = (text: string) => asked.every((word) => text.includes(stem(word)));
  const found = mixingTools.filter((tool) => speaks(wordsOf(tool)));
  const named = (tool: Tool) => (speaks(tool.title.toLowerCase()) ? 0 : 1);
  return found.toSorted((a, b) => named(a) - named(b));
}

/** A word without the ending that one form of it has and another has not. */
const stem = (word: string): string => (word.length > 4 ? word.replace(/(ing|ed|es|s|e)$/, '') : word);
