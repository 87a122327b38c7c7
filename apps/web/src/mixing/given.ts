import type { Tool } from '@brinewright/counsel';
import { sayText } from './figures.ts';
import { askedOf, type FieldState } from './sheet.ts';
import { asItStands, sayWritten } from './written.ts';

/** The meaning alone, with the name of the thing where that is a word the meaning does not hold. */
export const sayChoice = (key: string, meaning: string): string =>
  /^[a-z]+(-[a-z]+)+$|^(yes|no)$/.test(key) || meaning.toLowerCase().includes(key.toLowerCase())
    ? sayText(capital(meaning))
    : `${capital(sayText(key))}: ${sayText(meaning)}`;

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What a field was given, with its unit: "212 ± 11 L". */
export function sayGiven(tool: Tool, { id, field, text }: Pick<FieldState, 'id' | 'field' | 'text'>): string {
  if (field.kind === 'choice') return sayChoice(text, field.options[text] ?? '');
  const asked = askedOf(tool, id);
  const standing = asked && asItStands(asked, text);
  return asked && standing ? sayWritten(asked, standing) : sayText(text);
}
