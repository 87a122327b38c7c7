import {
  type Cursor,
  type Entry,
  type EntryId,
  envelope,
  type Head,
  type Page,
  type Peer,
  type Pushed,
  type TankId,
} from '@brinewright/journal';
import { ask, Refusal } from './ask.ts';

/** A place in the server's journal of a tank, as it stands in addresses and answers. */
export function placeOf(text: string | null): Head | undefined {
  const [, cursor, last] = /^(\d+)\.(.+)$/.exec(text ?? '') ?? [];
  return cursor === undefined ? undefined : { cursor: Number(cursor) as Cursor, last: last as EntryId };
}

const placeText = ({ cursor, last }: Head): string => `${cursor}.${last}`;

interface Pulled {
  readonly entries: readonly unknown[];
  readonly place: string | null;
  readonly more: boolean;
}

/** The server's side of one tank. @param there the newest place it named; undefined where it has no such tank yet */
export function tankPeer(tank: TankId, there: Head | undefined): Peer {
  const path = (verb: string) => `/api/tanks/${tank}/${verb}`;
  return {
    heads: async () => new Map(there === undefined ? [] : [[tank, there]]),
    pull: async (_, after) => {
      const query = after === undefined ? '' : `?after=${placeText(after)}`;
      try {
        const { entries, place, more } = await ask<Pulled>('GET', path(`entries${query}`));
        return { entries: entries.map(asEntry), cursor: placeOf(place)?.cursor ?? 0, more } as Page;
      } catch (error) {
        if (error instanceof Refusal && error.kind === 'place-unknown') return undefined;
        throw error;
      }
    },
    lacking: async (_, ids) =>
      (await ask<{ readonly lacking: readonly EntryId[] }>('POST', path('lacking'), { ids })).lacking,
    push: (_, entries) => pushSound(path('entries'), entries),
  };
}

/**
 * Hands entries over. What the server names as at fault is left out and the rest handed over again; what is too
 * large for one request goes in halves.
 */
async function pushSound(path: string, entries: readonly Entry[]): Promise<Pushed> {
  if (entries.length === 0) return { clashes: [], refused: [] };
  try {
    const { clashes } = await ask<{ readonly clashes: readonly EntryId[] }>('POST', path, { entries });
    return { clashes, refused: [] };
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    if (error.kind === 'too-large' && entries.length > 1) return inHalves(path, entries);
    const faulty = new Set(error.pointers.map((pointer) => /^\/entries\/(\d+)/.exec(pointer)?.[1]));
    const refused = entries.filter((_, i) => faulty.has(String(i)));
    if (refused.length === 0) {
      if (error.kind === 'too-large') return { clashes: [], refused: entries.map(({ id }) => id) };
      throw error;
    }
    const rest = await pushSound(
      path,
      entries.filter((entry) => !refused.includes(entry)),
    );
    return { clashes: rest.clashes, refused: [...refused.map(({ id }) => id), ...rest.refused] };
  }
}

async function inHalves(path: string, entries: readonly Entry[]): Promise<Pushed> {
  const middle = Math.ceil(entries.length / 2);
  const [a, b] = [
    await pushSound(path, entries.slice(0, middle)),
    await pushSound(path, entries.slice(middle)),
  ];
  return { clashes: [...a.clashes, ...b.clashes], refused: [...a.refused, ...b.refused] };
}

/** Not judged beyond what every entry carries: a later program may have written it. */
function asEntry(data: unknown): Entry {
  const judged = envelope.safeParse(data);
  if (!judged.success) throw new Refusal(200, 'not-ours', judged.error.issues[0]?.message ?? '', []);
  return data as Entry;
}
