import type { Metadata } from 'next'
import { Link } from '../../ui/Link'
import { CodeForm } from '../CodeForm'

export const dynamic = 'force-dynamic'
export const metadata: Metadata = { title: 'Look into your mail' }

type Params = Promise<Record<string, string | string[] | undefined>>

export default async function CodePage({ searchParams }: { searchParams: Params }) {
  const left = /^[0-4]$/.exec([(await searchParams).left].flat()[0] ?? '')?.[0]
  return (
    <div className="prose">
      <h1>Look into your mail</h1>
      <p>
        If the address is known here, a mail with a link and a code is on its way. Open the link where you
        want to work, or type the code here. Both work once, for 15 minutes.
      </p>
      <CodeForm triesLeft={left === undefined ? null : Number(left)} />
      <p>
        No mail? Look among the unwanted ones, or <Link href="/sign-in">ask again</Link>. Who may come in is
        entered by the programme’s administrator.
      </p>
    </div>
  )
}
