import { headers } from 'next/headers'
import { cache, use } from 'react'
import { chooseLanguage } from '@/lib/messages/chooseLanguage'
import type { Translate } from '@/lib/messages/translate'

/** The translator into the reader's language, for async components, metadata and routes. */
export const getTranslate = cache(
  async (): Promise<Translate> => chooseLanguage((await headers()).get('accept-language')),
)

/** The same for components that are not async; `#translate` is this one on the server. */
export const useTranslate = (): Translate => use(getTranslate())
