import { beforeAll, describe, expect, inject } from 'vitest'
import { browserTest } from '../setup/browser'
import type { TestServer } from '../setup/server'
import { openSharedServer } from '../setup/sharedServer'

let server: TestServer
beforeAll(async () => {
  server = await openSharedServer('empty')
})

describe('the browser of the tests', () => {
  browserTest('shows the board of a server on a fresh database', async ({ page }) => {
    const response = await page.goto(server.address)
    expect(response?.status()).toBe(200)
    expect(await page.title()).toContain('Holdfast')
    expect(await server.errors()).toBe('')
  })

  browserTest('notes errors on the console, in scripts and in promises', async ({ page, pageErrors }) => {
    await page.evaluate(() => {
      console.error('on the console')
      setTimeout(() => {
        throw new Error('in a script')
      })
      setTimeout(() => Promise.reject(new Error('in a promise')))
    })
    await expect.poll(() => pageErrors.length).toBe(3)
    expect(pageErrors.join('\n')).toMatch(/on the console.*in a script.*in a promise/s)
    pageErrors.length = 0
  })

  browserTest.fails('fails a test at whose end such an error is left', ({ pageErrors, page: _ }) => {
    pageErrors.push('left over')
  })

  browserTest(
    'is the one that npm carries, and outlives the contexts it opens',
    async ({ browser, skip }) => {
      const runs = process.platform === 'linux' && process.arch === 'x64'
      skip(!runs, 'it is made for Linux on x64 only')
      expect(inject('browser')).toMatchObject({ name: `Chromium ${browser.version()} (carried by npm)` })
      for (const title of ['first', 'second']) {
        const context = await browser.newContext()
        const page = await context.newPage()
        await page.setContent(`<title>${title}</title>`)
        expect(await page.title()).toBe(title)
        await context.close()
      }
    },
  )
})

describe('the server of the tests', () => {
  browserTest('answers to its local names only, and to no page from elsewhere', async () => {
    const port = new URL(server.address).port
    const { request } = await import('node:http')
    const ask = (method: string, headers: Record<string, string>) =>
      new Promise<number | undefined>((resolve, reject) => {
        const asked = request({ host: '127.0.0.1', port, method, headers, path: '/api/events' }, (answer) => {
          answer.resume()
          resolve(answer.statusCode)
        })
        asked.once('error', reject)
        asked.end()
      })
    expect(await ask('GET', { host: 'elsewhere.example' })).toBe(421)
    expect(await ask('POST', { host: `localhost:${port}`, origin: 'http://elsewhere.example' })).toBe(421)
    expect(await ask('POST', { host: `localhost:${port}`, origin: `http://localhost:${port}` })).not.toBe(421)
    expect(await ask('POST', { host: `127.0.0.1:${port}` })).not.toBe(421)
  })
})
