/** A server as a device's synchronisation sees it. */
import type { Entry, EntryId, Head, Page, Peer, TankId } from '@brinewright/journal';
import { placeOf, placeText } from '../../src/entries/heads.ts';
import type { TestServer } from './server.ts';

export function httpPeer(server: () => TestServer): Peer {
  const ask = async (path: string, body?: object): Promise<Response> =>
    server().app.request(
      path,
      body && {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify(body),
      },
    );
  return {
    async heads() {
      const list: { tank: TankId; place: string }[] = await (await ask('/api/tanks')).json();
      return new Map(list.map(({ tank, place }) => [tank, placeOf(place) as Head]));
    },
    async pull(tank, after) {
      const query = after === undefined ? '' : `?after=${placeText(after)}`;
      const response = await ask(`/api/tanks/${tank}/entries${query}`);
      if (response.status === 410) return undefined;
      if (response.status === 404) return { entries: [], cursor: 0, more: false } as unknown as Page;
      const { entries, place, more } = await response.json();
      return { entries, cursor: placeOf(place ?? '')?.cursor ?? 0, more } as Page;
    },
    async lacking(tank, ids) {
      return (await (await ask(`/api/tanks/${tank}/lacking`, { ids })).json()).lacking;
    },
    async push(tank, entries: readonly Entry[]) {
      const { clashes } = await (await ask(`/api/tanks/${tank}/entries`, { entries })).json();
      return { clashes: clashes as EntryId[], refused: [] };
    },
  };
}
