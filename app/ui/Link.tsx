// biome-ignore lint/style/noRestrictedImports: this is the component that replaces it everywhere else.
import NextLink from 'next/link'
import type { ComponentProps } from 'react'
import { Pending } from './Pending'

/**
 * A link to a page of this site that says when the page is loading. Prefetching is off: Next would send two requests for
 * every link in sight, for the outline of a page that is loaded again when someone follows the link.
 */
export function Link({ children, ...props }: Omit<ComponentProps<typeof NextLink>, 'prefetch'>) {
  return (
    <NextLink {...props} prefetch={false}>
      {children}
      <Pending />
    </NextLink>
  )
}
