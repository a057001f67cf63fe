import type { Metadata } from 'next'
import { getUser } from '@/lib/access/session/currentUser'
import { getHomePath } from '@/lib/access/session/returnPath'
import { mayAccess } from '@/lib/policy/routes'
import { Link } from './ui/Link'

export const metadata: Metadata = { title: 'No such page' }

/** Stands for a page that is not there and for one that is not this person's to see: the two are not told apart. */
export default async function NotFound() {
  const person = await getUser().catch(() => null)
  return (
    <div className="prose">
      <h1>There is no page for you at this address.</h1>
      <p>
        It may have been copied with a letter missing, or be for others to see.{' '}
        {mayAccess('page /', person) ? (
          <>
            <Link href="/">The board</Link> shows every sample of yours that is under way, and its search
            finds settled ones too
          </>
        ) : person ? (
          <Link href={getHomePath(person.roles)}>Go to where you begin</Link>
        ) : (
          <Link href="/sign-in">Sign in</Link>
        )}
        .
      </p>
    </div>
  )
}
