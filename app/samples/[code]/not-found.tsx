'use client'

import Link from 'next/link'
import { useParams } from 'next/navigation'
import { canonical, diagnoseKitCode } from '@/lib/custody/kitCode'

/** Says what the code in the address is, if it is not one of a known kit. */
export default function NoSuchSample() {
  const { code } = useParams<{ code: string }>()
  const asked = decodeURIComponent(code)
  const { verdict } = diagnoseKitCode(asked)
  return (
    <div className="prose">
      <h1>No kit has the code “{asked}”.</h1>
      <p>
        {verdict === 'slip' &&
          'Its check character is wrong, so one character was misread or two were swapped: compare it with the label.'}
        {verdict === 'kit code' &&
          'It is written rightly, but the register does not have it. Was the kit entered?'}
        {verdict === 'another kind' &&
          'A kit code has seven characters and a check character; this is something else, a waybill perhaps.'}{' '}
        <Link href={`/?search=${encodeURIComponent(canonical(asked))}`}>Search the board for it</Link>.
      </p>
    </div>
  )
}
