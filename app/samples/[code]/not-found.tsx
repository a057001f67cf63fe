import { visitor } from '@/lib/access/session/visitor'
import { scopeOf } from '@/lib/policy/principal'
import { mayAsk } from '@/lib/policy/routes'
import NotFound from '../../not-found'
import { NoSuchSample } from './NoSuchSample'

/** The same for a code that is nowhere and for another's sample. */
export default async function SampleNotFound() {
  const person = await visitor().catch(() => null)
  if (person === null || !mayAsk('page /samples/[code]', person)) return <NotFound />
  return <NoSuchSample seesAll={scopeOf(person) === 'all'} />
}
