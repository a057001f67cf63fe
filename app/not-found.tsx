import type { Metadata } from 'next'
import { getUser } from '@/lib/access/session/currentUser'
import { getHomePath } from '@/lib/access/session/returnPath'
import { mayAccess } from '@/lib/policy/routes'
import { Link } from './ui/Link'
import { rich } from './ui/language/rich'
import { getTranslate } from './ui/language/serverTranslate'

export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('site.notFound.title') }
}

/** The same answer for a page that does not exist and for one that the person may not see. */
export default async function NotFound() {
  const t = await getTranslate()
  const person = await getUser().catch(() => null)
  const [key, href] = mayAccess('page /', person)
    ? (['site.notFound.board', '/'] as const)
    : person
      ? (['site.notFound.home', getHomePath(person.roles)] as const)
      : (['site.notFound.signIn', '/sign-in'] as const)
  return (
    <div className="prose">
      <h1>{t('site.notFound.heading')}</h1>
      <p>{rich(t, key, { link: (text) => <Link href={href}>{text}</Link> })}</p>
    </div>
  )
}
