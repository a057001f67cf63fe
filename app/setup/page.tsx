import type { Metadata } from 'next'
import { rich } from '@/app/ui/language/rich'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { listPeople } from '@/lib/access/people/managePeople'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../ui/Link'
import { ENTRY_FORMS } from './forms/entryForms'
import { findFirstMissing, SETUP_ORDER } from './setupOrder'

export const dynamic = 'force-dynamic'

export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('setup.title') }
}

export default async function SetupPage() {
  const t = await getTranslate()
  await requireUser('page /setup')
  const register = await readRegisterDocument(getAppPool())
  const present = (await listPeople()).filter(({ leftAt }) => leftAt === null)
  const next = findFirstMissing(register)
  return (
    <>
      <h1>{t('setup.title')}</h1>
      {next ? (
        <p className="prose">
          {t(next.none)} <Link href={`/setup/add/${next.list}`}>{t(ENTRY_FORMS[next.list].addTitle)}</Link>
        </p>
      ) : (
        <p className="prose">{t('setup.complete')}</p>
      )}
      <ol>
        {SETUP_ORDER.map(({ list }) => (
          <li key={list}>
            {rich(t, 'setup.listCount', {
              list: t(ENTRY_FORMS[list].title),
              count: register[list].length,
              link: (text) => <Link href={`/setup/${list}`}>{text}</Link>,
            })}
          </li>
        ))}
        <li>
          <Link href="/setup/office">{t('setup.office.title')}</Link>
        </li>
        <li>
          {rich(t, 'setup.listCount', {
            list: t('setup.people.title'),
            count: present.length,
            link: (text) => <Link href="/setup/people">{text}</Link>,
          })}
        </li>
      </ol>
      <p>
        {rich(t, 'setup.export', {
          link: (text) => (
            <a href="/api/register" download="register.json">
              {text}
            </a>
          ),
        })}
      </p>
    </>
  )
}
