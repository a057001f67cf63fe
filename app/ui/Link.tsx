import NextLink from 'next/link'
import type { ComponentProps } from 'react'

/**
 * A link to a page of ours, which is asked for when someone follows it. Next would ask for every one in sight: each page read
 * then makes the server work out a dozen others, which are out of date when they are wanted.
 */
export function Link(props: Omit<ComponentProps<typeof NextLink>, 'prefetch'>) {
  return <NextLink {...props} prefetch={false} />
}
