import { AsyncLocalStorage } from 'node:async_hooks'

/** What the log says of the request that is being answered. */
export interface RequestContext {
  /** Names the request in the log, in the header X-Request-Id and in the problem of a 5xx. */
  id: string
  /** Who asks, like `person ID` or `key ID`; null until it is known. */
  principal: string | null
  /** What the database could not do for it; null if nothing. */
  databaseFault: string | null
  /** Ends the turn of the principal; null while the request has none. */
  endTurn: (() => void) | null
}

const shared = globalThis as typeof globalThis & { holdfastRequest?: AsyncLocalStorage<RequestContext> }

/** Kept on `globalThis`, because Next may load a module more than once in one process. */
function getStorage(): AsyncLocalStorage<RequestContext> {
  shared.holdfastRequest ??= new AsyncLocalStorage<RequestContext>()
  return shared.holdfastRequest
}

/** Runs `work`, and whatever it starts, as part of a request. */
export function runInRequest<T>(context: RequestContext, work: () => T): T {
  return getStorage().run(context, work)
}

/** The request that is being answered here; undefined outside of one. */
export function getRequestContext(): RequestContext | undefined {
  return getStorage().getStore()
}

/** Notes for the log who asks. No names and no addresses: kind and id only. */
export function notePrincipal({ kind, id }: { kind: string; id: string }): void {
  const context = getRequestContext()
  if (context) context.principal = `${kind} ${id}`
}
