'use client'

import { useParams } from 'next/navigation'
import { Link } from '@/app/ui/Link'
import { diagnoseKitCode, formatKitCode, toCanonical } from '@/lib/custody/kitCode'

/**
 * Says what the code in the address is, if it is not one of a sample that the reader may see. It is repeated only where
 * it is of a kit code's kind: an address can carry anybody's words.
 */
export function NoSuchSample({ seesAll }: { seesAll: boolean }) {
  const { code } = useParams<{ code: string }>()
  const asked = toCanonical(decodeURIComponent(code))
  const { verdict } = diagnoseKitCode(asked)
  const named = verdict === 'another kind' ? 'this code' : `the code ${formatKitCode(asked)}`
  return (
    <div className="prose">
      <h1>{seesAll ? `No kit has ${named}.` : `No sample of yours has ${named}.`}</h1>
      <p>
        {verdict === 'typo' &&
          'Its check character is wrong, so one character was misread or two were swapped: compare it with the label.'}
        {verdict === 'kit code' &&
          (seesAll
            ? 'It is written rightly, but the register does not have it. Was the kit entered?'
            : 'It is written rightly. If the kit is before you, ask the programme’s administrator whose it is.')}
        {verdict === 'another kind' &&
          'A kit code has seven characters and a check character; this is something else, a waybill perhaps.'}{' '}
        <Link href={`/?search=${encodeURIComponent(asked)}`}>Search the board for it</Link>.
      </p>
    </div>
  )
}
