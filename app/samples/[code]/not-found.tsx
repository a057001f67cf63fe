import { scopeOf } from '@/lib/access/principal'
import { mayAsk } from '@/lib/access/routes'
import { visitor } from '@/lib/access/visitor'
import { NoSuchSample } from '../../ui/NoSuchSample'

/** The same for a code that is nowhere and for another's sample. */
export default async function SampleNotFound() {
  const person = await visitor().catch(() => null)
  return (
    <NoSuchSample
      seesAll={person !== null && scopeOf(person) === 'all'}
      hasBoard={mayAsk('page /', person)}
    />
  )
}
