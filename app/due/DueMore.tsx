import { capitalised, countOf } from '@/app/ui/words/numberWords'
import type { DueFilter } from './dueFilter'
import { dueAddress } from './dueFilter'

/** That a list goes on, and how to see the rest. */
export function DueMore({ count, one, filter }: { count: number; one: string; filter: DueFilter }) {
  if (count <= 0) return null
  return (
    <p className="prose">
      {capitalised(countOf(count, `more ${one}`))} {count === 1 ? 'is' : 'are'} not shown. Choose a plant
      above, or by whom it is to be done, to see fewer together, or{' '}
      <a href={dueAddress(filter, { all: 'yes' })}>show all</a>.
    </p>
  )
}
