import type { ReactNode } from 'react'
import { getUser } from '@/lib/access/session/currentUser'
import { getScope } from '@/lib/policy/principal'
import { mayAccess } from '@/lib/policy/routes'
import NotFound from '../../not-found'
import { Link } from '../../ui/Link'
import { rich } from '../../ui/language/rich'
import { getTranslate } from '../../ui/language/serverTranslate'

/** The answer is the same for an unknown code and for a plant that the reader may not see. */
export default async function PlantNotFound() {
  const person = await getUser().catch(() => null)
  if (person === null || !mayAccess('page /plants/[code]', person)) return <NotFound />
  const t = await getTranslate()
  const seesAll = getScope(person) === 'all'
  const board = (text: ReactNode) => <Link href="/">{text}</Link>
  return (
    <div className="prose">
      <h1>{t(seesAll ? 'plants.notFound.heading' : 'plants.notFound.headingOwn')}</h1>
      <p>
        {seesAll
          ? rich(t, 'plants.notFound.about', {
              board,
              setup: (text) => <Link href="/setup/plants">{text}</Link>,
            })
          : rich(t, 'plants.notFound.aboutOwn', { board })}
      </p>
    </div>
  )
}
