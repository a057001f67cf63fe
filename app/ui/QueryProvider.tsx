'use client'

import { QueryClient, QueryClientProvider } from '@tanstack/react-query'
import { type ReactNode, useState } from 'react'

const REFRESH_MS = 30_000

/** Keeps the queries inside it fresh: they refetch every half minute, and when the window gets the focus. */
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
            // A local network without internet works, too.
            networkMode: 'always',
          },
        },
      }),
  )
  return <QueryClientProvider client={client}>{children}</QueryClientProvider>
}
