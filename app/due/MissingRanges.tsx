import type { ReactNode } from 'react'
import { useTranslate } from '#translate'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'

/** The protocols that cannot tell whether a reported temperature is right, each with its form. */
export function MissingRanges({ protocols }: { protocols: readonly string[] }) {
  const t = useTranslate()
  return protocols.map((protocol) => {
    const link = (text: ReactNode) => (
      <Link href={`/setup/protocols/${encodeURIComponent(protocol)}`}>{text}</Link>
    )
    return (
      <p key={protocol} className="prose">
        {rich(t, 'due.missingRange', { protocol, link })}
      </p>
    )
  })
}
