import type { Metadata } from 'next'
import Link from 'next/link'

export const metadata: Metadata = { title: 'No such page' }

export default function NotFound() {
  return (
    <div className="prose">
      <h1>There is no page at this address.</h1>
      <p>
        It may have been copied with a letter missing. <Link href="/">The board</Link> shows every sample that
        is under way, and its search finds settled ones too.
      </p>
    </div>
  )
}
