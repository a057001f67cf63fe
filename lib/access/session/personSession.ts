import type { BetterAuthPlugin, GenericEndpointContext } from 'better-auth'
import { APIError, createAuthEndpoint } from 'better-auth/api'
import { setSessionCookie } from 'better-auth/cookies'
import { z } from 'zod'

/** Methods of sign-in, as the audit log names them. */
export const SIGN_IN_METHODS = ['link', 'code', 'passkey', 'demo'] as const
export type SignInMethod = (typeof SIGN_IN_METHODS)[number]

/**
 * Signs in a person whose identity we have verified: makes the session and its cookie. It has no route, so only our own
 * code can call it. Errors: FORBIDDEN for someone who has left.
 */
export const personSession = () =>
  ({
    id: 'person-session',
    endpoints: {
      signInPerson: createAuthEndpoint.serverOnly(
        {
          method: 'POST',
          body: z.object({ personId: z.string(), way: z.enum(SIGN_IN_METHODS) }),
          requireHeaders: true,
        },
        async (context) => {
          const { internalAdapter } = context.context
          const user = await internalAdapter.findUserById(context.body.personId)
          const session = user && (await internalAdapter.createSession(user.id))
          if (!session) throw new APIError('FORBIDDEN', { message: 'This person may not sign in.' })
          await setSessionCookie(context, { session, user })
          return { sessionId: session.id }
        },
      ),
    },
  }) satisfies BetterAuthPlugin

/** The method by which a session is being made. */
export function getSignInMethod(context: GenericEndpointContext | null): SignInMethod {
  const body = context?.body as { way?: SignInMethod } | undefined
  return context?.path?.startsWith('/passkey/') ? 'passkey' : (body?.way ?? 'link')
}
