import type { TimeSlices } from '../scope/timeSlices'

/**
 * Sends batches in sequence and returns their results. While the database works on one, `batches` (a generator) prepares
 * the next, in slices; it yields null where it can pause. A connection never has two in flight.
 */
export async function pipelineBatches<Batch, Result>(
  batches: Iterable<Batch | null>,
  send: (batch: Batch) => Promise<Result>,
  slices: TimeSlices,
): Promise<Result[]> {
  const results: Result[] = []
  const left = batches[Symbol.iterator]()
  let sending: Promise<Result> | undefined
  for (;;) {
    const batch = await slices.run(prepareNext(left))
    if (batch === null) break
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

/** The next batch, null at the end; yields at every pause. */
function* prepareNext<Batch>(batches: Iterator<Batch | null>): Generator<undefined, Batch | null> {
  for (;;) {
    const { done, value } = batches.next()
    if (done) return null
    if (value !== null) return value
    yield
  }
}
