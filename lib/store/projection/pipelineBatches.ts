/**
 * Sends pieces of work one after the other and returns what came of each. While the database is at work on one piece,
 * `pieces` (a generator) makes the next one ready; a connection never has two at once.
 */
export async function pipelineBatches<Piece, Result>(
  pieces: Iterable<Piece>,
  send: (piece: Piece) => Promise<Result>,
): Promise<Result[]> {
  const results: Result[] = []
  let sending: Promise<Result> | undefined
  for (const piece of pieces) {
    if (sending) results.push(await sending)
    sending = send(piece)
    // Its failure is met where it is awaited, and not taken for one that nobody looks at.
    sending.catch(() => {})
    // What was handed to the socket goes out before the next piece takes the processor.
    await new Promise((resolve) => setImmediate(resolve))
  }
  if (sending) results.push(await sending)
  return results
}
