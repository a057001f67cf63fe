'use client'

import { createContext, type ReactNode, useContext } from 'react'
import type { Part } from '@/lib/schedule/hasToAct'

const Reading = createContext<Part>({ isAdministrator: false, plants: [], laboratories: [] })

/** Says to what is within who reads it: what is to be done depends on whose it is. */
export function WhoReads({ part, children }: { part: Part; children: ReactNode }) {
  const { isAdministrator, plants, laboratories } = part
  return <Reading value={{ isAdministrator, plants, laboratories }}>{children}</Reading>
}

/** The part in the programme of who reads the page. */
export function useReader(): Part {
  return useContext(Reading)
}
