import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { useTranslate } from '#translate'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { formatDay } from '@/app/ui/words/instant'
import { requireUser } from '@/lib/access/guard'
import { formatKitCode, toCanonical } from '@/lib/custody/kitCode'
import type { KitContent, RegisterDocument } from '@/lib/custody/registerDocument'
import { formatIsoDate, toLocalDay } from '@/lib/hold/zone'
import { nameBidiControls } from '@/lib/messages/bidiControls'
import type { Translate } from '@/lib/messages/translate'
import { type RegisterList, readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../../ui/Link'
import { loadFormState } from '../../draft'
import { EntryForm } from '../../EntryForm'
import { EntryPreview, getPreviewYear } from '../../EntryPreview'
import styles from '../../Form.module.css'
import { ENTRY_FORMS, isRegisterList } from '../../forms/entryForms'
import { toKitValues } from '../../forms/simpleForms'
import { SetupBreadcrumbs } from '../../SetupBreadcrumbs'
import type { SearchParams } from '../../searchParams'
import { YearPreview } from '../../YearPreview'

export const dynamic = 'force-dynamic'

interface Props {
  params: Promise<{ list: string; code: string }>
  searchParams: Promise<SearchParams>
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const t = await getTranslate()
  await requireUser('page /setup/[list]/[code]')
  const { list, entry } = await loadEntry(params)
  return { title: nameBidiControls(getHeading(t, list, entry)) }
}

export default async function EntryPage({ params, searchParams }: Props) {
  const t = await getTranslate()
  const person = await requireUser('page /setup/[list]/[code]')
  const { list, entry, register } = await loadEntry(params)
  const form = await loadFormState(person, await searchParams, ENTRY_FORMS[list].toValues(entry))
  const now = Date.now()
  const path = `/setup/${list}/${encodeURIComponent(entry.code)}`
  return (
    <>
      <SetupBreadcrumbs list={list} />
      <h1>{getHeading(t, list, entry)}</h1>
      {list === 'kits' && (
        <>
          <p>
            <Link href={`/samples/${entry.code}`}>{t('setup.kit.sample')}</Link>
          </p>
          <PostedToday kit={entry as KitContent} register={register} now={now} />
        </>
      )}
      <EntryForm list={list} form={form} register={register} isNew={false} now={now}>
        <EntryPreview list={list} form={form} register={register} path={path} now={now} />
      </EntryForm>
      {list === 'laboratories' && (
        <YearPreview values={form.values} year={getPreviewYear(form.values, now)} />
      )}
    </>
  )
}

/** The entry that the address names, and the register. */
const loadEntry = cache(async (params: Props['params']) => {
  const { list, code } = await params
  if (!isRegisterList(list)) notFound()
  const register = await readRegisterDocument(getAppPool())
  const named = decodeURIComponent(code)
  const wanted = list === 'kits' ? toCanonical(named) : named
  const entry = register[list].find((one) => one.code === wanted) ?? notFound()
  return { list, entry, register }
})

function getHeading(t: Translate, list: RegisterList, entry: { code: string; name?: unknown }): string {
  if (typeof entry.name === 'string') return entry.name
  return t(ENTRY_FORMS[list].entryTitle, { code: list === 'kits' ? formatKitCode(entry.code) : entry.code })
}

/** Marks a kit as posted today, with one press. `now` in ms UTC. */
function PostedToday({ kit, register, now }: { kit: KitContent; register: RegisterDocument; now: number }) {
  const t = useTranslate()
  if (kit.posted !== 'not yet') return null
  const zone = register.plants.find(({ code }) => code === kit.plant)?.zone ?? 'UTC'
  const values = { ...toKitValues(kit), list: 'kits', posted: formatIsoDate(toLocalDay(now, zone)) }
  return (
    <form method="post" action="/api/setup/entries" className={styles.once}>
      {Object.entries(values).map(([name, value]) => (
        <input key={name} type="hidden" name={name} value={value} />
      ))}
      <p>{t('setup.kit.notPosted')}</p>
      <button type="submit">{t('setup.kit.postedToday', { day: formatDay(t, now, zone, now) })}</button>
      <p className={styles.hint}>{t('setup.kit.otherChange')}</p>
    </form>
  )
}
