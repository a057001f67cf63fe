import { readFileSync, writeFileSync } from 'node:fs'
import { Readable } from 'node:stream'
import { Decrypter, Encrypter, generateX25519Identity, identityToRecipient } from 'age-encryption'
import { BackupError } from './backupFormat'

/**
 * Makes a pair of keys and writes the secret one to a new file that only its owner may read, as age's own tool does.
 * @returns the public key.
 * @throws BackupError if the file exists already.
 */
export async function makeBackupKey(file: string): Promise<string> {
  const identity = await generateX25519Identity()
  const publicKey = await identityToRecipient(identity)
  try {
    writeFileSync(file, `# public key: ${publicKey}\n${identity}\n`, { mode: 0o600, flag: 'wx', flush: true })
  } catch (error) {
    throw new BackupError(`The key cannot be written: ${(error as Error).message}. Choose another file.`)
  }
  return publicKey
}

/**
 * The secret key of a file, whose comments begin with #.
 * @throws BackupError if it holds none.
 */
export function readIdentity(file: string): string {
  let text: string
  try {
    text = readFileSync(file, 'utf8')
  } catch (error) {
    throw new BackupError(`The key cannot be read: ${(error as Error).message}`)
  }
  const identity = /^AGE-SECRET-KEY-1\S+/m.exec(text)?.[0]
  if (identity === undefined)
    throw new BackupError(`${file} holds no secret key: a line of it has to begin with AGE-SECRET-KEY-1.`)
  return identity
}

/** @throws BackupError if a backup cannot be encrypted to this key. */
export function assertPublicKey(publicKey: string): void {
  createEncrypter(publicKey)
}

/** Encrypts a stream so that only the secret key that belongs to `publicKey` decrypts it. */
export async function* encrypt(source: Readable, publicKey: string): AsyncGenerator<Uint8Array> {
  yield* readStream(await createEncrypter(publicKey).encrypt(toWebStream(source)))
}

/**
 * Decrypts a stream.
 * @throws BackupError if the key is another one; any other error if the stream is damaged.
 */
export async function* decrypt(source: Readable, identity: string): AsyncGenerator<Uint8Array> {
  const decrypter = new Decrypter()
  decrypter.addIdentity(identity)
  const plain = await decrypter.decrypt(toWebStream(source)).catch((error: Error) => {
    if (!/identit/.test(error.message)) throw error
    throw new BackupError(
      'The secret key does not fit this backup. Name the file of the key it was encrypted to.',
    )
  })
  yield* readStream(plain)
}

/** The type that browsers and age-encryption know; at run time it is the same one. */
function toWebStream(source: Readable): ReadableStream<Uint8Array> {
  return Readable.toWeb(source) as ReadableStream<Uint8Array>
}

async function* readStream(stream: ReadableStream<Uint8Array>): AsyncGenerator<Uint8Array> {
  const reader = stream.getReader()
  try {
    for (let next = await reader.read(); !next.done; next = await reader.read()) yield next.value
  } finally {
    await reader.cancel().catch(() => {})
  }
}

function createEncrypter(publicKey: string): Encrypter {
  const encrypter = new Encrypter()
  try {
    encrypter.addRecipient(publicKey)
  } catch (error) {
    throw new BackupError(
      `HOLDFAST_BACKUP_KEY is not a valid public key (${(error as Error).message}). Copy it again from where it was made.`,
    )
  }
  return encrypter
}
