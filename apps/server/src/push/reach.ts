/**
 * Where push messages may be sent. The address comes from a browser, that is, from anyone: it must not make the server
 * ask machines that only the server can reach.
 */
import { type LookupAddress, type LookupOptions, lookup } from 'node:dns';
import ipaddr from 'ipaddr.js';
import type { Mode } from '../services.ts';

const LOOPBACK = /^(localhost|127(\.\d{1,3}){3}|\[::1\])$/;

/** A name or address of the public internet, by https on its usual port; alone, this machine too. */
export function maySendTo(endpoint: string, mode: Mode): boolean {
  if (!URL.canParse(endpoint)) return false;
  const { protocol, hostname, port, username, password } = new URL(endpoint);
  if (username !== '' || password !== '') return false;
  if (!mode.shared && LOOPBACK.test(hostname)) return protocol === 'http:' || protocol === 'https:';
  if (protocol !== 'https:' || port !== '' || LOOPBACK.test(hostname)) return false;
  const address = hostname.replace(/^\[|\]$/g, '');
  return ipaddr.isValid(address) ? isPublic(address) : hostname.includes('.');
}

/** An ordinary address of one machine: not private, local, shared, reserved or a way round through another. */
export const isPublic = (address: string): boolean => ipaddr.process(address).range() === 'unicast';

type Found = (error: Error | null, found: string | LookupAddress[], family?: number) => void;

/** Looks a name up for the connection itself, so that what was judged is what is connected to. */
export function publicOnly(name: string, options: LookupOptions, found: Found): void {
  lookup(name, { ...options, all: true }, (error, addresses) => {
    if (error) return found(error, []);
    const [first] = addresses;
    if (first === undefined || !addresses.every(({ address }) => isPublic(address)))
      return found(new Error('the name leads to an address that is not public'), []);
    if (options.all) found(null, addresses);
    else found(null, first.address, first.family);
  });
}
