import type { MadeKey } from '@/lib/access/keys/programmeKeys'
import type { ListedKey } from '@/lib/store/people/keys'
import { KeySecret } from './KeySecret'
import { KeyTable } from './KeyTable'

/**
 * The keys for machines. `made`: the key that was made just now; null where its secret has been shown already,
 * undefined where none was made. `now` in ms UTC.
 */
export function KeyReport({
  keys,
  made,
  revoked,
  now,
}: {
  keys: readonly ListedKey[]
  made: MadeKey | null | undefined
  revoked: string | undefined
  now: number
}) {
  return (
    <>
      <h1>Keys for machines</h1>
      <p className="prose">
        A scanner at a dock, a laboratory’s system or a script reports with a key. Each key speaks for the
        sources that it is given and for nothing else, and what it reports of a sample that is not its own
        does nothing. Make one for each machine, so that one can be revoked without the others.
      </p>
      <p>
        <a href="/keys/new">Make a key</a>
      </p>
      {made && <KeySecret made={made} />}
      {made === null && (
        <p role="status">
          The secret was shown already and is not kept. If it is lost, revoke the key and make another.
        </p>
      )}
      {revoked === 'yes' && <p role="status">The key is revoked. The next request with it is refused.</p>}
      {revoked === 'none' && <p role="status">There was no such key to revoke, or it was revoked before.</p>}
      {keys.length > 0 ? (
        <KeyTable keys={keys} now={now} />
      ) : (
        <p>There is no key yet. Until there is one, only people report.</p>
      )}
    </>
  )
}
