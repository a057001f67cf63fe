import type { RandomStream } from './randomStream'

/** A kit code as a person types it: bare, in two halves, or in lower case. */
export function drawTypedCode(code: string, random: RandomStream): string {
  const form = random.weighted([0.7, 0.24, 0.06])
  if (form === 0) return code
  const halves = `${code.slice(0, 4)}-${code.slice(4)}`
  return form === 1 ? halves : halves.toLowerCase()
}

/** A tracking number in the format of the service. */
export function drawWaybill(service: string, random: RandomStream): string {
  const digits = String(random.int(1_000_000, 9_999_999))
  return (
    { road: `RF${digits}`, ground: `7${digits}${random.int(10, 99)}`, air: `AX-${digits}` }[service] ??
    `DC${digits}H`
  )
}
