import type { Mail } from './mail'
import { type MadeRequest, REQUEST_MINUTES } from './signInRequest'

/** The address of the page that a link leads to. */
export function linkAddress(siteUrl: string, token: string): string {
  return `${siteUrl}/sign-in/link?token=${token}`
}

/** The mail with a link and a code for someone. */
export function signInMail(siteUrl: string, { token, code }: MadeRequest, to: string): Mail {
  const link = linkAddress(siteUrl, token)
  const spaced = `${code.slice(0, 4)} ${code.slice(4)}`
  const { host } = new URL(siteUrl)
  const open = 'Open this link and press the button on the page:'
  const type = 'Or, where you asked for this mail, type the code'
  const limits = `Using one spends the other. Both work once, for ${REQUEST_MINUTES} minutes.`
  const unasked =
    'If you did not ask for this, somebody typed your address; nothing happens unless you use it.'
  return {
    to,
    subject: `Sign in to Holdfast at ${host}`,
    text: [open, link, `${type} ${spaced}`, limits, unasked, ''].join('\n\n'),
    html: [
      '<!doctype html><html lang="en-GB"><body style="font: 16px/1.5 Georgia, serif; max-width: 36em">',
      `<p>${open}</p><p><a href="${link}">${link}</a></p>`,
      `<p>${type}</p><p style="font-size: 24px; letter-spacing: 2px">${spaced}</p>`,
      `<p>${limits}</p><p>${unasked}</p></body></html>`,
    ].join('\n'),
  }
}
