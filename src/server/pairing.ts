import { createHash, randomInt, timingSafeEqual } from 'node:crypto';
import type { Role } from '../../shared/index.ts';
import { ProblemError } from '../app/store-problem.ts';

/** How long a code is good for, ms. */
export const CODE_LIVES_MS = 5 * 60 * 1000;
/** Wrong codes one address may try within `CODE_LIVES_MS`, and all of them together before the code is withdrawn. */
const TRIES = 5;
const TRIES_OF_ALL = 20;
// No letters that look like figures; eight of them are 40 bits.
const LETTERS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';

interface Code {
  hash: Buffer;
  role: Role;
  expiresAt: number;
}

/** One code at a time, spent on first use. */
export function pairingDesk(now: () => number) {
  let code: Code | null = null;
  let wrongOfAll = 0;
  const tries = new Map<string, number[]>();

  return {
    /** A fresh code, shown once; the one before is void. */
    issue(role: Role): { token: string; expiresAt: Date } {
      const plain = Array.from({ length: 8 }, () => LETTERS[randomInt(LETTERS.length)]).join('');
      wrongOfAll = 0;
      code = { hash: hashOf(plain), role, expiresAt: now() + CODE_LIVES_MS };
      return { token: `${plain.slice(0, 4)}-${plain.slice(4)}`, expiresAt: new Date(code.expiresAt) };
    },

    /**
     * Spends a code.
     *
     * @throws {ProblemError} `too-many`; `not-paired` for a wrong, spent or old one, without saying which
     */
    spend(token: string, address: string): Role {
      const time = now();
      const recent = (tries.get(address) ?? []).filter((at) => time - at < CODE_LIVES_MS);
      if (recent.length >= TRIES) {
        throw new ProblemError(
          'too-many',
          'Too many wrong codes from this device: wait five minutes, then ask for a new code',
        );
      }
      const given = hashOf(tidy(token));
      if (code && code.expiresAt > time && timingSafeEqual(given, code.hash)) {
        const { role } = code;
        code = null;
        tries.delete(address);
        return role;
      }
      // Bounded: an attacker with many addresses must not fill the memory.
      if (tries.size > 10_000) tries.clear();
      tries.set(address, [...recent, time]);
      wrongOfAll++;
      if (wrongOfAll >= TRIES_OF_ALL) code = null;
      throw new ProblemError('not-paired', 'This code is wrong, spent or older than five minutes: ask for a new one');
    },
  };
}

/** Case, blanks and hyphens do not matter, and letters that look like figures count as those. */
function tidy(token: string): string {
  return token
    .toUpperCase()
    .replace(/[^A-Z0-9]/g, '')
    .replaceAll('O', '0')
    .replace(/[IL]/g, '1');
}

function hashOf(text: string): Buffer {
  return createHash('sha256').update(text).digest();
}
