import type { LookupAddress } from 'node:dns';
import { lookup } from 'node:dns/promises';
import { BlockList, isIP } from 'node:net';

/** The target may not be called: not public, or not encrypted. Trying again does not help. */
export class WebhookTargetRefused extends Error {
  override readonly name = 'WebhookTargetRefused';
}

export interface PinnedAddress {
  readonly address: string;
  readonly family: 4 | 6;
}

/** Ranges that are not the public Internet (IANA special-purpose address registries, RFC 6890). */
const notPublic = new BlockList();
for (const [network, prefix] of [
  ['0.0.0.0', 8],
  ['10.0.0.0', 8],
  ['100.64.0.0', 10],
  ['127.0.0.0', 8],
  ['169.254.0.0', 16],
  ['172.16.0.0', 12],
  ['192.0.0.0', 24],
  ['192.0.2.0', 24],
  ['192.88.99.0', 24],
  ['192.168.0.0', 16],
  ['198.18.0.0', 15],
  ['198.51.100.0', 24],
  ['203.0.113.0', 24],
  ['224.0.0.0', 4],
  ['240.0.0.0', 4],
] as const) {
  notPublic.addSubnet(network, prefix, 'ipv4');
}
/** Of IPv6 only global unicast is public, without the ranges in it that carry or stand for something else. */
const globalUnicast = new BlockList();
globalUnicast.addSubnet('2000::', 3, 'ipv6');
for (const [network, prefix] of [
  ['2001::', 23],
  ['2001:db8::', 32],
  ['2002::', 16],
  ['3fff::', 20],
] as const) {
  notPublic.addSubnet(network, prefix, 'ipv6');
}

/** True for an address of the public Internet. An IPv4 address in IPv6 clothes is none. */
export function isPublicAddress(address: string): boolean {
  const family = isIP(address);
  if (family === 4) return !notPublic.check(address, 'ipv4');
  return family === 6 && globalUnicast.check(address, 'ipv6') && !notPublic.check(address, 'ipv6');
}

/**
 * What can be said of a target without asking the network.
 *
 * @throws WebhookTargetRefused
 */
export function assertAcceptableUrl(text: string, allowPrivate: boolean): URL {
  const url = new URL(text);
  if (url.username !== '' || url.password !== '') {
    throw new WebhookTargetRefused('The URL must not carry a user name or password.');
  }
  if (allowPrivate) return url;
  if (url.protocol !== 'https:') throw new WebhookTargetRefused('The URL must be https.');
  const host = hostOf(url);
  if (isIP(host) !== 0 && !isPublicAddress(host)) {
    throw new WebhookTargetRefused(`${host} is not a public address.`);
  }
  if (host === 'localhost' || host.endsWith('.localhost')) {
    throw new WebhookTargetRefused(`${host} is not a public host.`);
  }
  return url;
}

/** Asks the name server for every address of a name, in its own order. */
type Resolve = (
  name: string,
  options: { readonly all: true; readonly verbatim: true },
) => Promise<readonly LookupAddress[]>;

/**
 * Resolves the target once; the connection must then go to this address and no other, so that a second answer of the name
 * server cannot lead elsewhere. One address that is not public among several spoils them all.
 *
 * @throws WebhookTargetRefused, and what the name server's failure throws
 */
export async function pinAddress(
  url: URL,
  allowPrivate: boolean,
  resolve: Resolve = lookup,
): Promise<PinnedAddress> {
  const found = await resolve(hostOf(url), { all: true, verbatim: true });
  const first = found[0];
  if (first === undefined) throw new Error(`${url.hostname} has no address`);
  const refused = allowPrivate ? undefined : found.find(({ address }) => !isPublicAddress(address));
  if (refused !== undefined) {
    throw new WebhookTargetRefused(
      `${url.hostname} leads to ${refused.address}, which is not a public address.`,
    );
  }
  return { address: first.address, family: first.family === 6 ? 6 : 4 };
}

function hostOf(url: URL): string {
  // A dot at the end says that a name is whole; it leads to the same host.
  return url.hostname.replace(/^\[|\]$|\.+$/g, '');
}
