import { Link } from '@/app/ui/Link'

/** Why nothing is due: no duty was entered yet, or all that is asked for is done. */
export function EmptyDue({ hasDuties, isAdministrator }: { hasDuties: boolean; isAdministrator: boolean }) {
  if (hasDuties)
    return (
      <p className="prose">
        All is done: nothing is overdue, and the first act of no test is due within three months.
      </p>
    )
  return isAdministrator ? (
    <p className="prose">
      No duty is entered yet. A duty says when a product, or one product of a family, is to be tested and how
      often; from that follows by when each act is due. <Link href="/setup/add/duties">Enter the first</Link>.
    </p>
  ) : (
    <p className="prose">
      No test is asked of you yet. As soon as an administrator has entered by when one is due, each act of it
      stands here with its day.
    </p>
  )
}
