import { existsSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const upTo = (folder: string): string => (existsSync(join(folder, 'package.json')) ? folder : upTo(dirname(folder)))

/** The project's own folder, whether this runs from src or from dist: views and migrations lie beside package.json. */
export const projectRoot = upTo(dirname(fileURLToPath(import.meta.url)))
