import { rich } from '@/app/ui/language/rich'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { getUser } from '@/lib/access/session/currentUser'
import { getScope } from '@/lib/policy/principal'
import { mayAccess } from '@/lib/policy/routes'
import NotFound from '../../../../not-found'
import { Link } from '../../../../ui/Link'

/** The same page for a lane that does not exist and for one that the reader may not see. */
export default async function LaneNotFound() {
  const t = await getTranslate()
  const person = await getUser().catch(() => null)
  if (person === null || !mayAccess('page /lanes/[plant]/[laboratory]/[service]', person)) return <NotFound />
  const seesAll = getScope(person) === 'all'
  return (
    <div className="prose">
      <h1>{t(seesAll ? 'lanes.one.nothingSent' : 'lanes.one.nothingOfYours')}</h1>
      <p>
        {rich(t, seesAll ? 'lanes.one.see' : 'lanes.one.seeYours', {
          link: (text) => <Link href="/lanes">{text}</Link>,
        })}
      </p>
    </div>
  )
}
