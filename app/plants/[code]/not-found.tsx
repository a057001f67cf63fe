import { getUser } from '@/lib/access/session/currentUser'
import { getScope } from '@/lib/policy/principal'
import { mayAccess } from '@/lib/policy/routes'
import NotFound from '../../not-found'
import { Link } from '../../ui/Link'

/** The same for a code that is nowhere and for a plant that is not the reader's to see. */
export default async function PlantNotFound() {
  const person = await getUser().catch(() => null)
  if (person === null || !mayAccess('page /plants/[code]', person)) return <NotFound />
  const seesAll = getScope(person) === 'all'
  return (
    <div className="prose">
      <h1>{seesAll ? 'No plant has this code.' : 'No plant of yours has this code.'}</h1>
      <p>
        <Link href="/">The board</Link> names every plant {seesAll ? '' : 'of yours '}with a sample under way.
        {seesAll && (
          <>
            {' '}
            All of them are in <Link href="/setup/plants">the set-up</Link>.
          </>
        )}
      </p>
    </div>
  )
}
