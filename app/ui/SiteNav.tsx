'use client'

import Link from 'next/link'
import { usePathname } from 'next/navigation'
import { Pending } from './Pending'

const PAGES = [
  { href: '/', name: 'Board' },
  { href: '/receiving', name: 'Receiving' },
  { href: '/unplaced', name: 'Unplaced events' },
  { href: '/setup', name: 'Set-up' },
]

/** The ways through the programme, with the page one is on named as such. */
export function SiteNav() {
  const here = usePathname()
  return (
    <nav aria-label="Pages">
      {PAGES.map(({ href, name }) => (
        <Link key={href} href={href} aria-current={here === href ? 'page' : undefined}>
          {name}
          <Pending />
        </Link>
      ))}
    </nav>
  )
}
