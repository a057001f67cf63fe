'use client'

import Link from 'next/link'
import { useParams } from 'next/navigation'

export default function NoSuchPlant() {
  const { code } = useParams<{ code: string }>()
  return (
    <div className="prose">
      <h1>No plant has the code “{decodeURIComponent(code)}”.</h1>
      <p>
        The register does not have it. <Link href="/">The board</Link> names every plant with a sample under
        way; the others come with the next register that is sent.
      </p>
    </div>
  )
}
