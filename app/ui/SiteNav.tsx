'use client'

import { usePathname } from 'next/navigation'
import { Link } from './Link'

/** The ways through the programme, with the page one is on named as such. */
export function SiteNav({ pages }: { pages: readonly { href: string; name: string }[] }) {
  const here = usePathname()
  return (
    <nav aria-label="Pages">
      {pages.map(({ href, name }) => (
        <Link
          key={href}
          href={href}
          aria-current={here === href ? 'page' : here.startsWith(`${href}/`) ? 'true' : undefined}
        >
          {name}
        </Link>
      ))}
    </nav>
  )
}
