// Preloaded into a server: its clock goes by as many milliseconds as a file says, read again every 20 ms. The machine's own
// clock stays as it is, and so does that of the database.
import { readFileSync } from 'node:fs'

const file = process.env.HOLDFAST_TORTURE_CLOCK
const RealDate = Date
const realNow = Date.now
let offset = 0
const read = () => {
  try {
    offset = Number(readFileSync(file, 'utf8')) || 0
  } catch {}
}
read()
setInterval(read, 20).unref()
globalThis.Date = new Proxy(RealDate, {
  construct: (target, args, newTarget) =>
    Reflect.construct(target, args.length === 0 ? [realNow() + offset] : args, newTarget),
  apply: () => new RealDate(realNow() + offset).toString(),
  get: (target, name, receiver) =>
    name === 'now' ? () => realNow() + offset : Reflect.get(target, name, receiver),
})
