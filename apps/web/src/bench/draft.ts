import type { EntryId, TankId } from '@brinewright/journal';
import type { Signal } from '@preact/signals';
import { kept } from '../state/kept.ts';

/** What a finger has chosen on one kit's row, or typed into it. */
export interface Pick {
  /** Steps tapped, as places on the card: none, one, or two neighbours. */
  readonly steps: readonly number[];
  readonly beyond: 'over' | 'under' | null;
  readonly typed: string;
  readonly form: 'value' | 'over' | 'under';
  /** One part in how many, as typed; '1' is undiluted. */
  readonly dilution: string;
}

export const NO_PICK: Pick = { steps: [], beyond: null, typed: '', form: 'value', dilution: '1' };

/** Everything on the bench that is not written down yet. */
export interface BenchDraft {
  /** A `datetime-local` value where it happened earlier; null is now. */
  readonly when: string | null;
  readonly picks: Readonly<Record<string, Pick>>;
  readonly deeds: Readonly<Record<string, Readonly<Record<string, string>>>>;
  /** What is on its way into the journal: a page that ends meanwhile finds here what to look for there. */
  readonly writing: { readonly place: string; readonly ids: readonly EntryId[] } | null;
}

export const EMPTY_DRAFT: BenchDraft = { when: null, picks: {}, deeds: {}, writing: null };

const drafts = new Map<TankId, Signal<BenchDraft>>();

/** The bench of one tank; it survives a reload, a call and a flat battery. */
export function draftOf(tank: TankId): Signal<BenchDraft> {
  const known = drafts.get(tank);
  if (known !== undefined) return known;
  const fresh = kept(`bench.${tank}`, EMPTY_DRAFT);
  drafts.set(tank, fresh);
  return fresh;
}

/**
 * The draft without what was written down at a place. An earlier hour stays: whoever enters an old evening has more of it
 * to write down.
 */
export function cleared(draft: BenchDraft, place: string): BenchDraft {
  const rest = { ...draft, writing: null };
  return place === 'tests' ? { ...rest, picks: {} } : { ...rest, deeds: { ...draft.deeds, [place]: {} } };
}

/**
 * The draft after a page ended in the middle of writing: if the entries arrived they are not offered again, and if
 * they did not, all that was filled in still stands.
 */
export function recovered(draft: BenchDraft, isKept: (id: EntryId) => boolean): BenchDraft {
  if (draft.writing === null) return draft;
  const { place, ids } = draft.writing;
  return ids.every(isKept) ? cleared(draft, place) : { ...draft, writing: null };
}

/** The draft as one comes to the bench: where nothing waits to be written down, what is read next is read now. */
export function arrivedAt(draft: BenchDraft): BenchDraft {
  const isTyped = (values: Readonly<Record<string, string>>) =>
    Object.values(values).some((text) => text.trim() !== '');
  const waits = Object.values(draft.picks).some(isFilled) || Object.values(draft.deeds).some(isTyped);
  return waits ? draft : { ...draft, when: null };
}

/** Lays a proposal on the bench beside what is there already. */
export function layOut(tank: TankId, proposal: Partial<BenchDraft>): void {
  const draft = draftOf(tank);
  draft.value = {
    ...draft.value,
    picks: { ...draft.value.picks, ...proposal.picks },
    deeds: { ...draft.value.deeds, ...proposal.deeds },
  };
}

/** A tap on a step: chooses it, adds it to its neighbour for "between", or takes it away again. */
export function tapped(pick: Pick, step: number): Pick {
  const alone = { ...pick, beyond: null };
  if (pick.steps.includes(step)) return { ...alone, steps: pick.steps.filter((s) => s !== step) };
  const [only] = pick.steps;
  const neighbours = pick.steps.length === 1 && only !== undefined && Math.abs(only - step) === 1;
  return { ...alone, steps: neighbours ? [only, step].sort((a, b) => a - b) : [step] };
}

export function tappedBeyond(pick: Pick, beyond: 'over' | 'under'): Pick {
  return { ...pick, steps: [], beyond: pick.beyond === beyond ? null : beyond };
}

export const isFilled = (pick: Pick) =>
  pick.steps.length > 0 || pick.beyond !== null || pick.typed.trim() !== '';
