const PATIENCE_MS = 15_000

/** Asks the server for JSON. Errors: throws where it does not answer in time, or answers with a failure. */
export async function askServer<Answer>(address: string, signal: AbortSignal): Promise<Answer> {
  const response = await fetch(address, {
    headers: { accept: 'application/json' },
    signal: AbortSignal.any([signal, AbortSignal.timeout(PATIENCE_MS)]),
  })
  // The session was ended, here or elsewhere: what is on the page is nobody's to see any more.
  if (response.status === 401) window.location.reload()
  if (!response.ok) throw new Error(`The server answered ${response.status}.`)
  return (await response.json()) as Answer
}
