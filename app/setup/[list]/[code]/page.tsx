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
import type { Translate } from '@/lib/messages/translate'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../../ui/Link'
import { loadFormState } from '../../draft'
import { EntryForm } from '../../EntryForm'
import { EntryPreview, getPreviewYear } from '../../EntryPreview'
import styles from '../../Form.module.css'
import { ENTRY_FORMS, isRegisterList } from '../../forms/entryForms'
import { toKitValues } from '../../forms/simpleForms'
import { SetupBreadcrumbs } from '../../SetupBreadcrumbs'
import { YearPreview } from '../../YearPreview'

export const dynamic = 'force-dynamic'

interface Props {
  params: Promise<{ list: string; code: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const t = await getTranslate()
  await requireUser('page /setup/[list]/[code]')
  const { list, entry } = await loadEntry(params)
  return { title: getHeading(t, list, entry) }
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
            <Link href={`/samples/${entry.code}`}>Its sample, and what was reported of it</Link>
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

/** The entry that an address names, and the register that has it. */
const loadEntry = cache(async (params: Props['params']) => {
  const { list, code } = await params
  if (!isRegisterList(list)) notFound()
  const register = await readRegisterDocument(getAppPool())
  const named = decodeURIComponent(code)
  const wanted = list === 'kits' ? toCanonical(named) : named
  const entry = register[list].find((one) => one.code === wanted) ?? notFound()
  return { list, entry, register }
})

function getHeading(t: Translate, list: string, entry: { code: string; name?: unknown }): string {
  if (list === 'pickups') return `Pickups at ${entry.code}`
  if (list === 'shutdowns') return `Shutdown of ${entry.code}`
  if (list === 'certificates') return `Certificate ${entry.code}`
  if (list === 'duties') return `Duty ${entry.code}`
  return list === 'kits' ? `Kit ${formatKitCode(entry.code)}` : String(entry.name)
}

/** Says of a kit that was not posted yet that it is on its way since today. `now` in ms UTC. */
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
      <p>This kit has not been posted.</p>
      <button type="submit">Posted today, {formatDay(t, now, zone, now)}</button>
      <p className={styles.hint}>Another day, or anything else about it, is changed below.</p>
    </form>
  )
}
