import { parseArgs } from 'node:util'
import { EVENT_KINDS, isEventKind } from '@/lib/custody/event'
import type { Side } from '@/lib/custody/eventKinds'
import { DAY, parseIsoDate } from '@/lib/hold/zone'
import { english } from '@/lib/messages/english'
import type { KeyRights } from '@/lib/policy/keyRights'
import { getEnvironment } from '@/lib/store/environment'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { databaseExists, getDatabaseName } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { makeKey } from '@/lib/store/people/keys'
import { COMMAND } from '@/lib/store/scope/audit'
import { openAppPool, openAuthPool } from '@/lib/store/scope/pool'
import { openDatabaseServer } from './databaseServer'
import { runCommand } from './runCommand'
import { readServedNote } from './servedNote'
import { keepOutputForResult, log, runStep, StepFailed } from './steps'

const USAGE = `npm run key -- --name "north dock" --source "north dock" [more]
  --source S       a source the key may report under; repeatable
  --plant P        it speaks for this plant; repeatable
  --laboratory L   it speaks for this laboratory; repeatable
  --carrier        it speaks for a carrier; without these three, for the programme
  --kind K         only events of this kind, instead of all that its side reports but decisions; repeatable
  --expires DAY    the last day on which the key works, UTC, like 2027-06-30
  --history        may import history: Holdfast trusts the report time it sends
  --register       may send the register
  --sign           signs its requests, so its secret never travels
  --demo           a key for the demo programme`

interface KeyOptions {
  rights: KeyRights
  isForDemo: boolean
}

/**
 * `npm run key`: makes an API key, for a machine without a browser. Standard output gets its secret alone, so that a script
 * can take it.
 */
runCommand(async () => {
  keepOutputForResult()
  const { rights, isForDemo } = await runStep('Key', async () => ({
    summary: 'The options are valid.',
    value: parseKeyOptions(),
  }))
  const server = await runStep('Database', async () => {
    const value = await openDatabaseServer(true)
    return { summary: value.description, value }
  })
  const url = isForDemo ? server.demoUrl : server.programmeUrl
  if (isForDemo && !(await databaseExists(url, getDatabaseName(url)))) {
    log('✗', 'Key', 'There is no demo. Create it with npm run demo.')
    throw new StepFailed('Key')
  }
  const made = await runStep('Key', async () => {
    await migrate({ url })
    await assertPlaces(url, rights)
    const authPool = openAuthPool(url, { max: 1 })
    try {
      const key = await makeKey(authPool, rights, COMMAND, Date.now())
      if (key.fault) throw new Error(english.message(key.fault.detail))
      return {
        summary: `Created “${rights.name}”, id ${key.id}. Its secret is shown only once:`,
        value: key.secret,
      }
    } finally {
      await authPool.end()
    }
  })
  process.stdout.write(`${made}\n`)
  if (server.isEmbedded) warnIfNotServed(getDatabaseName(url))
})

/** A key works only on a server that serves its programme. */
function warnIfNotServed(database: string) {
  const served = readServedNote(getEnvironment().dataDir)
  if (!served || served.database === database) return
  log(
    '!',
    'Key',
    `The running Holdfast serves ${served.database}, and this key is for ${database}: it does not work there yet. Begin your programme with npm run admin -- you@example.org, or make a key of the demo with --demo.`,
  )
}

/** Errors: Error with advice if the register lacks such a plant or laboratory. */
async function assertPlaces(url: string, { plants, laboratories }: KeyRights): Promise<void> {
  if (plants === null && laboratories === null) return
  const pool = openAppPool(url, { max: 1 })
  try {
    const register = await readRegisterDocument(pool)
    const missing = (wanted: readonly string[] | null, known: readonly { code: string }[]) =>
      (wanted ?? []).find((code) => !known.some((place) => place.code === code))
    const plant = missing(plants, register.plants)
    if (plant !== undefined) throw new Error(`The register has no plant "${plant}". Send the register first.`)
    const laboratory = missing(laboratories, register.laboratories)
    if (laboratory !== undefined)
      throw new Error(`The register has no laboratory "${laboratory}". Send the register first.`)
  } finally {
    await pool.end()
  }
}

/** Errors: Error with advice if the options do not make a valid key. */
function parseKeyOptions(): KeyOptions {
  const { values } = readOptions()
  const { kind = null, plant = null, laboratory = null } = values
  const unknown = kind?.find((one) => !isEventKind(one))
  if (unknown !== undefined)
    throw new Error(`"${unknown}" is not a kind of event. Choose one of: ${EVENT_KINDS.join(', ')}.`)
  if (values.name === undefined || values.source === undefined)
    throw new Error(`Give --name and at least one --source.\n${USAGE}`)
  return {
    isForDemo: values.demo === true,
    rights: {
      name: values.name,
      sources: values.source,
      sides: [parseSide(values)],
      kinds: kind,
      plants: plant,
      laboratories: laboratory,
      mayImportHistory: values.history === true,
      maySetRegister: values.register === true,
      mustSign: values.sign === true,
      expiresAt: parseExpiry(values.expires),
    },
  }
}

/** For whom the key speaks. Errors: Error with advice if the options name two. */
function parseSide({
  plant,
  laboratory,
  carrier,
}: {
  plant?: string[]
  laboratory?: string[]
  carrier?: boolean
}): Side {
  if (plant && laboratory) throw new Error(english('keys.fault.twoSides'))
  if (carrier && (plant || laboratory))
    throw new Error(
      'A carrier’s key speaks for no plant and no laboratory. Leave out --carrier, or --plant and --laboratory.',
    )
  if (plant) return 'plant'
  if (laboratory) return 'laboratory'
  return carrier ? 'carrier' : 'programme'
}

function readOptions() {
  const many = { type: 'string', multiple: true } as const
  const flag = { type: 'boolean' } as const
  try {
    return parseArgs({
      options: {
        name: { type: 'string' },
        source: many,
        kind: many,
        plant: many,
        laboratory: many,
        carrier: flag,
        expires: { type: 'string' },
        history: flag,
        register: flag,
        sign: flag,
        demo: flag,
      },
    })
  } catch (error) {
    throw new Error(`${(error as Error).message}\n${USAGE}`)
  }
}

function parseExpiry(text: string | undefined): number | null {
  if (text === undefined) return null
  const day = parseIsoDate(text)
  if (day === undefined) throw new Error(`"${text}" is not a day. Write it as year-month-day.`)
  const expiresAt = (day + 1) * DAY
  if (expiresAt <= Date.now()) throw new Error(`${text} is over. Give today or a later day.`)
  return expiresAt
}
