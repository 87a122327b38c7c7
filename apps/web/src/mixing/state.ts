import { type Tool, toolOf } from '@brinewright/counsel';
import type { EntryId, TankFacts, TankId } from '@brinewright/journal';
import { computed, type Signal, signal } from '@preact/signals';
import { entries, tanks } from '../state/journal.ts';
import { kept } from '../state/kept.ts';
import { preferences } from '../state/reader.ts';
import { mayWrite } from '../state/sharing.ts';
import { askedOf, type Draft, type FieldState } from './sheet.ts';
import { usualUnit } from './units.ts';
import { fromLink } from './written.ts';

const drafts = new Map<string, Signal<Draft>>();

/** What was put into a tool; it survives a reload, a call and a closed tab. */
export function draftOf(tool: string): Signal<Draft> {
  const known = drafts.get(tool);
  if (known !== undefined) return known;
  const fresh = kept<Draft>(`mixing.sheet.${tool}`, {});
  drafts.set(tool, fresh);
  return fresh;
}

/** What stood in a tool before it was emptied or filled by a link, so that it can be put back. */
export const setAside = signal<Readonly<Record<string, { draft: Draft; why: 'link' | 'emptied' }>>>({});

export function replaceDraft(tool: string, draft: Draft, why: 'link' | 'emptied'): void {
  const signalOf = draftOf(tool);
  const before = signalOf.peek();
  const worthKeeping = Object.keys(before).length > 0 && JSON.stringify(before) !== JSON.stringify(draft);
  const { [tool]: _, ...others } = setAside.peek();
  setAside.value = worthKeeping ? { ...others, [tool]: { draft: before, why } } : others;
  signalOf.value = draft;
}

export function putBack(tool: string): void {
  const { [tool]: before, ...others } = setAside.peek();
  if (before !== undefined) draftOf(tool).value = before.draft;
  setAside.value = others;
}

const RECENT = 4;
/** Tools used last, the latest first. */
export const recent = kept<readonly string[]>('mixing.recent', []);

export function remember(tool: string): void {
  const rest = recent.peek().filter((each) => each !== tool && toolOf(each) !== undefined);
  recent.value = [tool, ...rest].slice(0, RECENT);
}

/** The tank chosen in this room; null is none, undefined not yet chosen. */
const chosen = kept<{ readonly tank?: string | null }>('mixing.tank', {});

/** Tanks of this device that can be chosen. */
export const choosable = computed(() =>
  [...tanks.value.values()].filter(({ tank }) => mayWrite(tank) && !preferences.value.putAway.includes(tank)),
);

/** The tank whose water the tools are filled with: the one chosen, else the one last written for. */
export const tankInHand = computed((): TankFacts | undefined => {
  const { tank } = chosen.value;
  if (tank === null) return undefined;
  const here = (id: string | undefined) => choosable.value.find((each) => each.tank === id);
  return here(tank) ?? here(entries.value.at(-1)?.tank) ?? choosable.value[0];
});

export const chooseTank = (tank: TankId | null): void => {
  chosen.value = { tank };
};

/** What was last handed to the disk from each tool, so that a page that comes back does not offer it twice. */
export const onItsWay = kept<Readonly<Record<string, { about: string; ids: readonly EntryId[] }>>>(
  'mixing.written',
  {},
);

/** Cautions that were read and tapped since the page was opened. */
export const minded = signal<ReadonlySet<string>>(new Set());

export const mind = (ids: readonly string[]): void => {
  minded.value = new Set([...minded.peek(), ...ids]);
};

/** Which tank a link is for. Short, and no tool has a field of this name. */
const TANK = 'for';

/** Takes in what a link brings: the tank, and a draft if it names any field. */
export function takeIn(tool: Tool, search: string): void {
  const query = new URLSearchParams(search);
  const tank = query.get(TANK) as TankId | null;
  if (tank !== null && tanks.peek().has(tank)) chooseTank(tank);
  const brought = [...query].filter(([id]) => Object.hasOwn(tool.fields, id));
  if (brought.length === 0) return;
  const draft = brought.map(([id, text]) => [id, writtenOf(tool, id, text)] as const);
  replaceDraft(tool.id, Object.fromEntries(draft), 'link');
}

function writtenOf(tool: Tool, id: string, text: string): Draft[string] {
  const asked = askedOf(tool, id);
  return asked === undefined ? text : fromLink(asked, text, usualUnit(asked, tankInHand.peek()));
}

/** The query of a link that fills a tool in as it stands here. The tank itself is nobody else's business. */
export function queryOf(fields: readonly FieldState[]): string {
  const said = fields.filter(({ text, field }) => text !== '' && text !== field.preset);
  return new URLSearchParams(said.map(({ id, text }) => [id, text])).toString();
}
