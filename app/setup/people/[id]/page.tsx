import type { Metadata } from 'next'
import Link from 'next/link'
import { notFound } from 'next/navigation'
import { people } from '@/lib/access/enterPeople'
import { pageVisitor } from '@/lib/access/guard'
import { registerNow } from '@/lib/store'
import { PersonForm } from '../../parts/PersonForm'
import { SetupPath } from '../../parts/SetupPath'
import { type Asked, refusedPerson } from '../../personState'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'A person' }

interface Props {
  params: Promise<{ id: string }>
  searchParams: Promise<Asked>
}

export default async function PersonPage({ params, searchParams }: Props) {
  await pageVisitor('page /setup/people/[id]')
  const { id } = await params
  const person = (await people()).find((one) => one.id === id) ?? notFound()
  const refused = refusedPerson(await searchParams)
  const { email, name, zone } = person
  return (
    <>
      <SetupPath>
        {' / '}
        <Link href="/setup/people">People</Link>
      </SetupPath>
      <h1>{name}</h1>
      <PersonForm
        id={id}
        form={refused?.form ?? { values: { email, name, zone }, problems: [] }}
        roles={refused?.roles ?? person.roles}
        hasLeft={refused?.hasLeft ?? person.leftAt !== null}
        register={await registerNow()}
        now={Date.now()}
      />
    </>
  )
}
