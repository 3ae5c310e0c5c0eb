/**
 * Why the store cannot do its work; a person can put each of them right.
 * `in-use`: another process has the folder. `newer`: written by a newer version. `read-only`: not allowed to write.
 * `disk-full`: no room. `unreachable`: the database server does not answer. `damaged`: what is there cannot be read.
 */
export type StoreFault = 'in-use' | 'newer' | 'read-only' | 'disk-full' | 'unreachable' | 'damaged';

export class StoreError extends Error {
  readonly code: StoreFault;
  constructor(code: StoreFault, message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = 'StoreError';
    this.code = code;
  }
}

/** Turns what the operating system says about a write into words, and lets anything else pass. */
export function writeFault(error: unknown, where: string): unknown {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === 'ENOSPC' || code === 'EDQUOT' || code === 'EFBIG') {
    return new StoreError('disk-full', `Cannot write to ${where}: the disk is full. Nothing was changed`, {
      cause: error,
    });
  }
  if (code === 'EACCES' || code === 'EPERM' || code === 'EROFS') {
    return new StoreError('read-only', `Cannot write to ${where}: it is read-only for this user`, { cause: error });
  }
  return error;
}
