import type { Metadata } from 'next'
import { getTranslate } from '@/app/ui/language/serverTranslate'
import { requireUser } from '@/lib/access/guard'
import { KeyForm } from '../KeyForm'
import { parseKeyFields, parseKeyRights, readKeyPlaces } from '../keyFields'

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
  const faults = sent.has('sent') ? parseKeyRights(t, fields, known, Date.now()).faults : null
  return <KeyForm fields={fields} faults={faults ?? {}} places={places} />
}
