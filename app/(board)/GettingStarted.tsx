'use client'

import { useSyncExternalStore } from 'react'
import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'

const noSubscription = () => () => {}

/** How to send the first register and the first events. */
export function GettingStarted() {
  const t = useTranslate()
  const origin = useSyncExternalStore(
    noSubscription,
    () => window.location.origin,
    () => 'http://localhost:3000',
  )
  return (
    <div className="prose">
      <p>{t('board.start.files')}</p>
      <pre>HOLDFAST_KEY=hfk_... npm run load -- register.json events.ndjson</pre>
      <p>{t('board.start.http')}</p>
      <pre>
        {`curl -X PUT -H "Authorization: Bearer $HOLDFAST_KEY" -H 'content-type: application/json' \\
  --data-binary @register.json ${origin}/api/register
curl -X POST -H "Authorization: Bearer $HOLDFAST_KEY" -H 'content-type: application/x-ndjson' \\
  --data-binary @events.ndjson ${origin}/api/events`}
      </pre>
      <p>
        {rich(t, 'board.start.key', {
          code: (text) => <code>{text}</code>,
          link: (text) => <a href="/help/connect.md">{text}</a>,
        })}
      </p>
    </div>
  )
}
