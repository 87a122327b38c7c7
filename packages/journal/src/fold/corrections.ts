/**
 * Amend and strike, resolved. Every correction points at one entry, so the corrections of one entry form a tree
 * under it. An entry is struck where a strike under it holds; a strike that is itself struck does not hold, so
 * striking a strike revives. Amendments are laid over the body in the order they were written (recorded, id).
 * What amends an amendment replaces fields of that amendment.
 *
 * Corrections whose chain ends in an entry that is not there yet, or runs in a circle, reach no entry and so change
 * nothing: the first wait, the second never come to hold.
 */
import { instantMs } from '../entry/instant.ts';
import {
  DOSE_FORMS,
  type EntryId,
  type EntryOf,
  EXCHANGE_FORMS,
  isKnown,
  READING_FORMS,
} from '../entry/kinds.ts';
import { byWriting, type Dated } from '../entry/order.ts';
import { sayProblem } from '../entry/problem.ts';
import { bodyProblems, isSound } from '../entry/validate.ts';
import type { FactDoubt } from './facts.ts';

/** An entry as it stands after its corrections. */
export interface Standing extends Dated {
  readonly body: Fields;
}

export interface Corrected {
  /** Struck entries and the corrections themselves left out. */
  readonly standing: readonly Standing[];
  readonly doubts: readonly FactDoubt[];
}

type Fields = Readonly<Record<string, unknown>>;
type Correction = Dated & { readonly entry: EntryOf<'amend'> | EntryOf<'strike'> };

/** What one amendment comes to after its own corrections. */
interface Patch {
  readonly entry: EntryId;
  readonly fields: Fields;
  readonly at: string | undefined;
}

interface Verdict {
  readonly struck: boolean;
  readonly patches: readonly Patch[];
}

/** Corrections of corrections are followed this far down; a person needs two or three. */
const MAX_CHAIN = 500;

export function correct(all: readonly Dated[]): Corrected {
  const corrections = all.filter(isCorrection);
  const under = byTarget(corrections);
  const reached = new Set<EntryId>();

  const judge = (id: EntryId, forms: readonly string[], depth: number): Verdict => {
    let struck = false;
    const patches: Patch[] = [];
    for (const { entry } of depth < MAX_CHAIN ? (under.get(id) ?? []) : []) {
      reached.add(entry.id);
      const verdict = judge(entry.id, forms, depth + 1);
      if (verdict.struck) continue;
      if (entry.kind === 'strike') struck = true;
      else patches.push(patched(entry, verdict.patches, forms));
    }
    return { struck, patches };
  };

  const standing: Standing[] = [];
  const doubts: FactDoubt[] = [];
  for (const one of all) {
    if (isCorrection(one)) continue;
    const verdict = judge(one.entry.id, formsOf(one.entry.kind), 0);
    if (!verdict.struck) standing.push(amended(one, verdict.patches, doubts));
  }
  const present = new Set(all.map(({ entry }) => entry.id));
  for (const { entry } of corrections) if (!reached.has(entry.id)) doubts.push(loose(entry, present));
  return { standing, doubts };
}

/** A correction that cannot be read corrects nothing and stands as an entry like another. */
const isCorrection = (one: Dated): one is Correction =>
  (one.entry.kind === 'amend' || one.entry.kind === 'strike') && isSound(one.entry.kind, one.entry.body);

function byTarget(corrections: readonly Correction[]): ReadonlyMap<EntryId, readonly Correction[]> {
  const under = new Map<EntryId, Correction[]>();
  for (const one of [...corrections].sort(byWriting)) {
    const of = one.entry.body.of;
    const list = under.get(of);
    if (list === undefined) under.set(of, [one]);
    else list.push(one);
  }
  return under;
}

/** The fields that exclude one another in a body of this kind: a new form takes the place of the old. */
function formsOf(kind: string): readonly string[] {
  if (kind === 'reading') return READING_FORMS;
  if (kind === 'dose') return DOSE_FORMS;
  return kind === 'exchange' ? EXCHANGE_FORMS : [];
}

function overlaid(fields: Fields, patch: Fields, forms: readonly string[]): Fields {
  const renewed = forms.some((form) => patch[form] !== undefined && patch[form] !== null);
  const kept = Object.entries(fields).filter(([key]) => !(renewed && forms.includes(key)));
  return { ...Object.fromEntries(kept), ...patch };
}

function patched(entry: EntryOf<'amend'>, patches: readonly Patch[], forms: readonly string[]): Patch {
  let { body: fields, at } = entry.body;
  for (const patch of patches) {
    fields = overlaid(fields, patch.fields, forms);
    at = patch.at ?? at;
  }
  return { entry: entry.id, fields, at };
}

/** Lays each amendment over the entry; one that would make nonsense of it is left off and doubted. */
function amended(one: Dated, patches: readonly Patch[], doubts: FactDoubt[]): Standing {
  const { entry } = one;
  let body: Fields = entry.body;
  let at = one.at;
  for (const patch of patches) {
    const whole = overlaid(body, patch.fields, formsOf(entry.kind));
    const next = Object.fromEntries(Object.entries(whole).filter(([, value]) => value !== null));
    const problem = isKnown(entry) ? bodyProblems(entry.kind, next)[0] : undefined;
    if (problem === undefined) {
      body = next;
      at = patch.at === undefined ? at : (instantMs(patch.at) ?? at);
    } else {
      const message = `this correction would spoil the ${entry.kind} entry ${entry.id} and was left off: ${sayProblem(problem)}`;
      doubts.push({ entry: patch.entry, code: 'correction-unsound', message });
    }
  }
  return { entry, at, recorded: one.recorded, body };
}

function loose(entry: Correction['entry'], present: ReadonlySet<EntryId>): FactDoubt {
  const of = entry.body.of;
  const message = present.has(of)
    ? `this ${entry.kind} corrects another correction, but the chain of them reaches no entry; it changes nothing`
    : `this ${entry.kind} waits: the entry ${of} it corrects is not in this tank's journal (yet)`;
  return { entry: entry.id, code: 'correction-loose', message };
}
