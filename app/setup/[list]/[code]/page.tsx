import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { cache } from 'react'
import { dayWords } from '@/app/ui/words/instantWords'
import { pageVisitor } from '@/lib/access/guard'
import { canonical, displayCode } from '@/lib/custody/kitCode'
import type { KitContent, RegisterDocument } from '@/lib/custody/registerDocument'
import { dayText, localDay } from '@/lib/hold/zone'
import { registerNow } from '@/lib/store/ledger/registerEntries'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { Link } from '../../../ui/Link'
import { formStateOf } from '../../draft'
import { EntryForm } from '../../EntryForm'
import styles from '../../Form.module.css'
import { ENTRY_FORMS, isRegisterList } from '../../forms/entryForms'
import { kitValues } from '../../forms/simpleForms'
import { LookAhead, yearAsked } from '../../LookAhead'
import { SetupPath } from '../../SetupPath'
import { YearPreview } from '../../YearPreview'

export const dynamic = 'force-dynamic'

interface Props {
  params: Promise<{ list: string; code: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  await pageVisitor('page /setup/[list]/[code]')
  const { list, entry } = await entryOf(params)
  return { title: headingOf(list, entry) }
}

export default async function EntryPage({ params, searchParams }: Props) {
  const person = await pageVisitor('page /setup/[list]/[code]')
  const { list, entry, register } = await entryOf(params)
  const form = await formStateOf(person, await searchParams, ENTRY_FORMS[list].values(entry))
  const now = Date.now()
  const path = `/setup/${list}/${encodeURIComponent(entry.code)}`
  return (
    <>
      <SetupPath list={list} />
      <h1>{headingOf(list, entry)}</h1>
      {list === 'kits' && (
        <>
          <p>
            <Link href={`/samples/${entry.code}`}>Its sample, and what was reported of it</Link>
          </p>
          <PostedToday kit={entry as KitContent} register={register} now={now} />
        </>
      )}
      <EntryForm list={list} form={form} register={register} isNew={false} now={now}>
        <LookAhead list={list} form={form} register={register} path={path} now={now} />
      </EntryForm>
      {list === 'laboratories' && <YearPreview values={form.values} year={yearAsked(form.values, now)} />}
    </>
  )
}

/** The entry that an address names, and the register that has it. */
const entryOf = cache(async (params: Props['params']) => {
  const { list, code } = await params
  if (!isRegisterList(list)) notFound()
  const register = await registerNow(sharedPool())
  const named = decodeURIComponent(code)
  const wanted = list === 'kits' ? canonical(named) : named
  const entry = register[list].find((one) => one.code === wanted) ?? notFound()
  return { list, entry, register }
})

function headingOf(list: string, entry: { code: string; name?: unknown }): string {
  if (list === 'pickups') return `Pickups at ${entry.code}`
  if (list === 'shutdowns') return `Shutdown of ${entry.code}`
  if (list === 'certificates') return `Certificate ${entry.code}`
  if (list === 'duties') return `Duty ${entry.code}`
  return list === 'kits' ? `Kit ${displayCode(entry.code)}` : String(entry.name)
}

/** Says of a kit that was not posted yet that it is on its way since today. `now` in ms UTC. */
function PostedToday({ kit, register, now }: { kit: KitContent; register: RegisterDocument; now: number }) {
  if (kit.posted !== 'not yet') return null
  const zone = register.plants.find(({ code }) => code === kit.plant)?.zone ?? 'UTC'
  const values = { ...kitValues(kit), list: 'kits', posted: dayText(localDay(now, zone)) }
  return (
    <form method="post" action="/api/setup/entries" className={styles.once}>
      {Object.entries(values).map(([name, value]) => (
        <input key={name} type="hidden" name={name} value={value} />
      ))}
      <p>This kit has not been posted.</p>
      <button type="submit">Posted today, {dayWords(now, zone, now)}</button>
      <p className={styles.hint}>Another day, or anything else about it, is changed below.</p>
    </form>
  )
}
