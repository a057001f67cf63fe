import type { Metadata } from 'next'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import type { Translate } from '@/lib/messages/translate'
import { findKeyFault } from '@/lib/store/people/keys'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { KeyForm } from '../KeyForm'
import {
  type KeyFaults,
  type KeyFields,
  type KnownPlaces,
  parseKeyFields,
  parseKeyRights,
  readKeyPlaces,
  toFieldFault,
} from '../keyFields'

export const dynamic = 'force-dynamic'
export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return { title: t('keys.make') }
}

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function NewKeyPage({ searchParams }: { searchParams: Params }) {
  const t = await getTranslate()
  await requireUser('page /keys/new')
  const pairs = Object.entries(await searchParams).flatMap(([name, value]) =>
    [value ?? []].flat().map((one) => [name, one]),
  )
  const sent = new URLSearchParams(pairs)
  const fields = parseKeyFields(sent)
  const places = await readKeyPlaces()
  const known = {
    plants: new Set(places.plants.map(({ code }) => code)),
    laboratories: new Set(places.laboratories.map(({ code }) => code)),
  }
  const faults = sent.has('sent') ? await findFaults(t, fields, known) : null
  return <KeyForm fields={fields} faults={faults ?? {}} places={places} />
}

/** The faults of the fields; without any, what keeps the key from being made beside those that there are. */
async function findFaults(t: Translate, fields: KeyFields, known: KnownPlaces): Promise<KeyFaults | null> {
  const now = Date.now()
  const { rights, faults } = parseKeyRights(t, fields, known, now)
  if (!rights) return faults
  const fault = await findKeyFault(getAuthPool(), rights, now)
  return fault && toFieldFault(t, fault)
}
