'use client'

import { useSyncExternalStore } from 'react'

const noSubscription = () => () => {}

/** How the first register and the first events come in. */
export function GettingStarted() {
  const origin = useSyncExternalStore(
    noSubscription,
    () => window.location.origin,
    () => 'http://localhost:3000',
  )
  return (
    <div className="prose">
      <p>
        Nothing has been sent yet. Holdfast needs two things: the register (plants, laboratories, protocols
        with their hold limits, products, kits) and the events that are reported of each sample. From two
        files, in one go:
      </p>
      <pre>npm run load -- register.json events.ndjson --key hfk_...</pre>
      <p>Or from any other program, over HTTP:</p>
      <pre>
        {`curl -X PUT -H "Authorization: Bearer $HOLDFAST_KEY" -H 'content-type: application/json' \\
  --data-binary @register.json ${origin}/api/register
curl -X POST -H "Authorization: Bearer $HOLDFAST_KEY" -H 'content-type: application/x-ndjson' \\
  --data-binary @events.ndjson ${origin}/api/events`}
      </pre>
      <p>
        Both need a key: an administrator makes one on the page of keys, or <code>npm run key</code> does. The
        README describes them. This page shows the samples as soon as their kits are in the register.
      </p>
    </div>
  )
}
