// The keys with which a local run sends pushes: made on the first start, and kept beside the households. Browsers
// subscribed with them, so they must stay the same.

import { readFileSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { newVapidKeys } from '../src/delivery/index.ts'

type Keys = Awaited<ReturnType<typeof newVapidKeys>>

/** Push services ask for an address (RFC 8292 §2.1). Some refuse this one; a vars file can give a real one. */
export const LOCAL_SUBJECT = 'mailto:holdbell@localhost'

/** The state folder's keys; only their owner can read the file. Throws when what is there are no keys. */
export async function keptKeys(state: string): Promise<Keys> {
  const file = join(state, 'keys.json')
  return read(file) ?? keep(file, await newVapidKeys())
}

function read(file: string): Keys | null {
  let text: string
  try {
    text = readFileSync(file, 'utf8')
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null
    throw error
  }
  const { publicKey, privateKey } = parsed(text)
  if (isBase64url(publicKey, 65) && isBase64url(privateKey, 32)) return { publicKey, privateKey }
  throw new Error(
    `${file} does not hold the keys of push messages. Move it away to have new ones made; every browser then has to subscribe again.`,
  )
}

function parsed(text: string): { publicKey?: unknown; privateKey?: unknown } {
  try {
    const value: unknown = JSON.parse(text)
    return typeof value === 'object' && value !== null ? value : {}
  } catch {
    return {}
  }
}

/** The file appears whole or not at all: a start can be killed. */
function keep(file: string, keys: Keys): Keys {
  const draft = `${file}.${process.pid}`
  writeFileSync(draft, `${JSON.stringify(keys)}\n`, { mode: 0o600 })
  renameSync(draft, file)
  return keys
}

const isBase64url = (value: unknown, octets: number): value is string =>
  typeof value === 'string' &&
  /^[\w-]+$/.test(value) &&
  Buffer.from(value, 'base64url').length === octets
