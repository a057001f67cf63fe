// biome-ignore lint/style/noRestrictedImports: it is the one that all others are to take.
import NextLink from 'next/link'
import type { ComponentProps } from 'react'
import { Pending } from './Pending'

/**
 * A link to a page of ours; it says when its page is being read. Next would ask the server twice for every link in sight, for the
 * outline of a page that is read anew when someone follows it.
 */
export function Link({ children, ...props }: Omit<ComponentProps<typeof NextLink>, 'prefetch'>) {
  return (
    <NextLink {...props} prefetch={false}>
      {children}
      <Pending />
    </NextLink>
  )
}
