import { getUser } from '@/lib/access/session/currentUser'
import { getScope } from '@/lib/policy/principal'
import { mayAccess } from '@/lib/policy/routes'
import NotFound from '../../../../not-found'
import { Link } from '../../../../ui/Link'

/** The same for a lane that is nowhere and for one that is not the reader's to see. */
export default async function LaneNotFound() {
  const person = await getUser().catch(() => null)
  if (person === null || !mayAccess('page /lanes/[plant]/[laboratory]/[service]', person)) return <NotFound />
  const whose = getScope(person) === 'all' ? '' : ' of yours'
  return (
    <div className="prose">
      <h1>Nothing{whose} was sent on this lane.</h1>
      <p>
        <Link href="/lanes">The lanes</Link> are those by which samples{whose} were sent: a plant, a
        laboratory and a carrier service.
      </p>
    </div>
  )
}
