import type { Page } from 'playwright-core'

/** Gives a page a device that holds passkeys and always finds its owner present. */
export async function addPasskeyDevice(page: Page): Promise<void> {
  const devices = await page.context().newCDPSession(page)
  await devices.send('WebAuthn.enable')
  await devices.send('WebAuthn.addVirtualAuthenticator', {
    options: {
      protocol: 'ctap2',
      transport: 'internal',
      hasResidentKey: true,
      hasUserVerification: true,
      isUserVerified: true,
      automaticPresenceSimulation: true,
    },
  })
}
