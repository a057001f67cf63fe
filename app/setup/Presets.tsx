import { PRESETS, STANDARDS_TO_FILL_IN } from '@/lib/hold/presets'

/** Published limits to begin with, and standards whose limits are to be filled in from one's own copy. */
export function Presets() {
  return (
    <div className="prose">
      <p>Limits that are published and can be taken over:</p>
      <ul>
        {PRESETS.map(({ code, name, note, limits }) => (
          <li key={code}>
            <a href={`/setup/add/protocols?preset=${encodeURIComponent(code)}`}>
              {name} ({code})
            </a>
            . {limits.map(({ citation }) => citation).join('; ')}. {note}
          </li>
        ))}
      </ul>
      <p>These standards set such times too; fill them in from your own copy:</p>
      <ul>
        {STANDARDS_TO_FILL_IN.map(({ code, name, where }) => (
          <li key={code}>
            {name}: {where}
          </li>
        ))}
      </ul>
    </div>
  )
}
