import { closeSync, fsyncSync, openSync } from 'node:fs'

/** Has what was written to a file, or into a folder, brought to the disk before anything is built on it. */
export function flush(path: string): void {
  const handle = openSync(path, 'r')
  try {
    fsyncSync(handle)
  } finally {
    closeSync(handle)
  }
}
