import { useSyncExternalStore } from 'react'

/**
 * Enrols a passkey under `name`, or signs in with one: fetches the options from the server, asks the device, and sends back
 * its credential. Errors: PasskeyRefused if the server refuses it; Error or DOMException if the device gives none.
 */
export async function runPasskeyCeremony(kind: 'enrol' | 'use', name?: string): Promise<void> {
  const options = await callServer<never>(`/api/passkey/${kind}-begin`)
  const credential = (
    kind === 'enrol'
      ? await navigator.credentials.create({
          publicKey: PublicKeyCredential.parseCreationOptionsFromJSON(options),
        })
      : await navigator.credentials.get({
          publicKey: PublicKeyCredential.parseRequestOptionsFromJSON(options),
        })
  ) as PublicKeyCredential | null
  if (!credential) throw new Error('The device gave no passkey.')
  await callServer(`/api/passkey/${kind}-end`, { response: credential.toJSON(), ...(name ? { name } : {}) })
}

function canUsePasskeys(): boolean {
  return (
    typeof PublicKeyCredential === 'function' &&
    'parseCreationOptionsFromJSON' in PublicKeyCredential &&
    'toJSON' in PublicKeyCredential.prototype
  )
}

async function callServer<Answer>(address: string, body?: unknown): Promise<Answer> {
  const response = await fetch(address, {
    method: body ? 'POST' : 'GET',
    headers: body ? { 'content-type': 'application/json' } : {},
    body: body ? JSON.stringify(body) : undefined,
  })
  const answer = (await response.json().catch(() => null)) as (Answer & { code?: string }) | null
  if (!response.ok || answer === null) throw new PasskeyRefused(answer?.code ?? String(response.status))
  return answer
}

/** The server refused the passkey; the message is its error code, or the HTTP status. */
export class PasskeyRefused extends Error {}

const subscribeToNothing = () => () => {}

/** Whether this browser supports passkeys; false on the server and until scripts run. */
export function useCanUsePasskeys(): boolean {
  return useSyncExternalStore(subscribeToNothing, canUsePasskeys, () => false)
}
