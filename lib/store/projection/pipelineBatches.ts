/**
 * Sends batches in sequence and returns their results. While the database works on one, `batches` (a generator) prepares
 * the next; a connection never has two in flight.
 */
export async function pipelineBatches<Batch, Result>(
  batches: Iterable<Batch>,
  send: (batch: Batch) => Promise<Result>,
): Promise<Result[]> {
  const results: Result[] = []
  let sending: Promise<Result> | undefined
  for (const batch of batches) {
    if (sending) results.push(await sending)
    sending = send(batch)
    // A failure is handled where it is awaited; without this it would count as an unhandled rejection.
    sending.catch(() => {})
    // Lets the socket write before the next batch takes the processor.
    await new Promise((resolve) => setImmediate(resolve))
  }
  if (sending) results.push(await sending)
  return results
}
