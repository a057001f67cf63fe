'use client'

import { useQuery } from '@tanstack/react-query'
import { useRouter } from 'next/navigation'
import { useEffect, useRef } from 'react'
import { ConnectionNotice, fetchJson, useUnreachableSince } from './ConnectionNotice'
import { useServerNow } from './useServerNow'
import { useViewerZone } from './ViewerProvider'

/**
 * Keeps a server-rendered page up to date: refreshes it while the server answers; otherwise the page stays as it was
 * and says so. `asOf`: the time of its data, ms UTC.
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
    // The first answer comes with the page itself, which is fresh then.
    if (firstAnswerAt.current === 0) firstAnswerAt.current = dataUpdatedAt
    else if (dataUpdatedAt !== firstAnswerAt.current) router.refresh()
  }, [dataUpdatedAt, router])
  const unreachableSinceAt = useUnreachableSince(isError, useServerNow(asOf))
  return <ConnectionNotice unreachableSinceAt={unreachableSinceAt} asOf={asOf} zone={useViewerZone()} />
}
