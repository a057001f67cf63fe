'use client'

import { useParams } from 'next/navigation'
import { useTranslate } from '#translate'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import { diagnoseKitCode, formatKitCode, toCanonical } from '@/lib/custody/kitCode'

/**
 * Says what the code in the address is, where no sample that the reader may see has it. Only a text of the form of a kit
 * code is repeated: an address can carry anybody's words.
 */
export function NoSuchSample({ seesAll }: { seesAll: boolean }) {
  const t = useTranslate()
  const { code } = useParams<{ code: string }>()
  const canonical = toCanonical(decodeURIComponent(code))
  const { verdict } = diagnoseKitCode(canonical)
  const heading = seesAll ? 'samples.notFound.heading' : 'samples.notFound.headingOwn'
  return (
    <div className="prose">
      <h1>
        {t(heading, {
          isCode: verdict === 'another kind' ? 'no' : 'yes',
          code: formatKitCode(canonical),
        })}
      </h1>
      <p>
        {verdict === 'typo' && t('samples.notFound.typo')}
        {verdict === 'kit code' && t(seesAll ? 'samples.notFound.unknown' : 'samples.notFound.unknownOwn')}
        {verdict === 'another kind' && t('samples.notFound.otherKind')}{' '}
        {rich(t, 'samples.notFound.search', {
          link: (text) => <Link href={`/?search=${encodeURIComponent(canonical)}`}>{text}</Link>,
        })}
      </p>
    </div>
  )
}
