import { nameBidiControls } from '@/lib/messages/bidiControls'

/** Attributes that a person reads or hears. The value of a field is none: it is sent back as it is. */
const READ_ATTRIBUTES = ['title', 'alt', 'label', 'placeholder', 'aria-label', 'aria-description']

/** The properties of an element as they are shown: in its text and in what is read of it, bidirectional controls are named. */
export function showProps<P>(type: unknown, props: P): P {
  if (typeof props !== 'object' || props === null || type === 'textarea') return props
  const given = props as Record<string, unknown>
  const names = typeof type === 'string' ? ['children', ...READ_ATTRIBUTES] : ['children']
  const changed = names.flatMap((name) => {
    const shown = show(given[name])
    return shown === given[name] ? [] : [[name, shown] as const]
  })
  return changed.length === 0 ? props : { ...props, ...Object.fromEntries(changed) }
}

/** The same value if nothing in it has to be named. Elements in it were looked at when they were made. */
function show(value: unknown): unknown {
  if (typeof value === 'string') return nameBidiControls(value)
  if (!Array.isArray(value)) return value
  const shown = value.map(show)
  return shown.some((one, index) => one !== value[index]) ? shown : value
}
