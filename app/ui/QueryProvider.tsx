'use client'

import { QueryClient, QueryClientProvider } from '@tanstack/react-query'
import { type ReactNode, useState } from 'react'

const REFRESH_MS = 30_000

/** Keeps what is inside it up to date: asks again every half minute, and when the page is looked at again. */
export function QueryProvider({ children }: { children: ReactNode }) {
  const [client] = useState(
    () =>
      new QueryClient({
        defaultOptions: {
          queries: {
            refetchInterval: REFRESH_MS,
            refetchOnWindowFocus: true,
            staleTime: 5_000,
            retry: false,
            // A network without internet is a network all the same.
            networkMode: 'always',
          },
        },
      }),
  )
  return <QueryClientProvider client={client}>{children}</QueryClientProvider>
}
