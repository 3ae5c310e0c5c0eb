import { X509Certificate } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { InputError } from '../../../shared/index.ts';

export interface Certificate {
  cert: string;
  key: string;
  /** SHA-256 of the certificate, pairs of hexadecimal figures with colons. */
  fingerprint: string;
}

const DAYS = 397;
const RENEW_BEFORE_MS = 14 * 24 * 3600 * 1000;

/**
 * Takes the certificate in a folder (`cert.pem`, `key.pem`), or makes one of our own for these names and addresses.
 *
 * One that was put there by hand is never replaced; one of our own is made anew when it runs out or a name is missing, since
 * a browser then has to ask anyway.
 *
 * @throws {InputError} when only one of the two files is there or they cannot be read
 */
export async function takeOrMakeCertificate(
  folder: string,
  names: readonly string[],
  addresses: readonly string[],
): Promise<Certificate> {
  const [certFile, keyFile, ownMark] = ['cert.pem', 'key.pem', 'made-by-keepworthy'].map((name) =>
    join(folder, name),
  ) as [string, string, string];
  if (existsSync(certFile) !== existsSync(keyFile)) {
    const missing = existsSync(certFile) ? keyFile : certFile;
    throw new InputError([
      { file: missing, path: '', wanted: 'cert.pem and key.pem, or neither', found: 'no such file' },
    ]);
  }
  if (existsSync(certFile)) {
    const [cert, key] = [readFileSync(certFile, 'utf8'), readFileSync(keyFile, 'utf8')];
    let read: X509Certificate;
    try {
      read = new X509Certificate(cert);
    } catch {
      throw new InputError([{ file: certFile, path: '', wanted: 'a certificate in PEM', found: 'something else' }]);
    }
    const covers = names.every((name) => read.checkHost(name)) && addresses.every((address) => read.checkIP(address));
    const isFresh = Date.parse(read.validTo) - Date.now() > RENEW_BEFORE_MS;
    if (!existsSync(ownMark) || (covers && isFresh)) return { cert, key, fingerprint: read.fingerprint256 };
  }
  const altNames = [
    ...names.map((value) => ({ type: 2 as const, value })),
    ...addresses.map((ip) => ({ type: 7 as const, ip })),
  ];
  // Loaded only when one has to be made: it is the slowest package to load.
  const { generate } = await import('selfsigned');
  const made = await generate([{ name: 'commonName', value: 'Keepworthy on this network' }], {
    keyType: 'ec',
    algorithm: 'sha256',
    notAfterDate: new Date(Date.now() + DAYS * 24 * 3600 * 1000),
    extensions: [
      { name: 'basicConstraints', cA: false, critical: true },
      { name: 'keyUsage', digitalSignature: true, critical: true },
      { name: 'extKeyUsage', serverAuth: true },
      { name: 'subjectAltName', altNames },
    ],
  });
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  writeFileSync(keyFile, made.private, { mode: 0o600 });
  writeFileSync(certFile, made.cert, { mode: 0o600 });
  writeFileSync(ownMark, '');
  return { cert: made.cert, key: made.private, fingerprint: new X509Certificate(made.cert).fingerprint256 };
}
