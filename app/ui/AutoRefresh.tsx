'use client'

import { useQuery } from '@tanstack/react-query'
import { useRouter } from 'next/navigation'
import { useEffect, useRef } from 'react'
import { ConnectionNotice, fetchJson, useUnreachableSince } from './ConnectionNotice'
import { useServerNow } from './useServerNow'
import { useViewerZone } from './ViewerProvider'

/**
 * Keeps a page that the server paints up to date: as long as the server is well it paints it again, and when it is
 * not, the page stays as it was and says so. `asOf`: from when its data are, ms UTC.
 */
export function AutoRefresh({ asOf }: { asOf: number }) {
  const router = useRouter()
  const { isError, dataUpdatedAt } = useQuery({
    queryKey: ['health'],
    queryFn: ({ signal }) => fetchJson<unknown>('/api/health', signal),
    staleTime: 0,
  })
  const firstAnswerAt = useRef(0)
  useEffect(() => {
    // The first answer comes with the page itself, which needs no second painting.
    if (firstAnswerAt.current === 0) firstAnswerAt.current = dataUpdatedAt
    else if (dataUpdatedAt !== firstAnswerAt.current) router.refresh()
  }, [dataUpdatedAt, router])
  const lostSinceAt = useUnreachableSince(isError, useServerNow(asOf))
  return <ConnectionNotice lostSinceAt={lostSinceAt} asOf={asOf} zone={useViewerZone()} />
}
