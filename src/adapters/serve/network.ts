import { hostname, networkInterfaces } from 'node:os';

/** IPv4 addresses of this computer on its networks, those of private networks (RFC 1918) first. */
export function networkAddresses(): string[] {
  const all = Object.values(networkInterfaces())
    .flatMap((list) => list ?? [])
    .filter((address) => address.family === 'IPv4' && !address.internal)
    .map((address) => address.address);
  const isPrivate = (address: string) => /^(10\.|192\.168\.|172\.(1[6-9]|2\d|3[01])\.)/.test(address);
  return [...all.filter(isPrivate), ...all.filter((address) => !isPrivate(address))];
}

/** Names under which this computer is known on a local network (RFC 6762 for `.local`). */
export function networkNames(): string[] {
  const name = hostname().toLowerCase();
  return name.includes('.') ? [name] : [name, `${name}.local`];
}
