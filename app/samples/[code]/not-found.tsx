import { getUser } from '@/lib/access/session/currentUser'
import { getScope } from '@/lib/policy/principal'
import { mayAccess } from '@/lib/policy/routes'
import NotFound from '../../not-found'
import { NoSuchSample } from './NoSuchSample'

/** The answer is the same for an unknown code and for another maker's sample. */
export default async function SampleNotFound() {
  const person = await getUser().catch(() => null)
  if (person === null || !mayAccess('page /samples/[code]', person)) return <NotFound />
  return <NoSuchSample seesAll={getScope(person) === 'all'} />
}
