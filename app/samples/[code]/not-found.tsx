import { getUser } from '@/lib/access/session/currentUser'
import { getScope } from '@/lib/policy/principal'
import { mayAccess } from '@/lib/policy/routes'
import NotFound from '../../not-found'
import { NoSuchSample } from './NoSuchSample'

/** The same for a code that is nowhere and for another's sample. */
export default async function SampleNotFound() {
  const person = await getUser().catch(() => null)
  if (person === null || !mayAccess('page /samples/[code]', person)) return <NotFound />
  return <NoSuchSample seesAll={getScope(person) === 'all'} />
}
