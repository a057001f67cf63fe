'use client'

import { usePathname } from 'next/navigation'
import { useTranslate } from '#translate'
import { Link } from './Link'

/** The navigation, with the current page marked. */
export function SiteNav({ pages }: { pages: readonly { href: string; name: string }[] }) {
  const t = useTranslate()
  const current = usePathname()
  return (
    <nav aria-label={t('site.navigation')}>
      {pages.map(({ href, name }) => (
        <Link
          key={href}
          href={href}
          aria-current={current === href ? 'page' : current.startsWith(`${href}/`) ? 'true' : undefined}
        >
          {name}
        </Link>
      ))}
    </nav>
  )
}
