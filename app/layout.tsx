import type { Metadata, Viewport } from 'next'
import type { ReactNode } from 'react'
import styles from './layout.module.css'
import './globals.css'
import { useTranslate } from '#translate'
import { English } from './ui/language/English'
import { Pseudo } from './ui/language/Pseudo'
import { getTranslate } from './ui/language/serverTranslate'
import { SiteHeader } from './ui/SiteHeader'

// Every page is made for its request: one made while building would have no nonce for its scripts.
export const dynamic = 'force-dynamic'

export async function generateMetadata(): Promise<Metadata> {
  const t = await getTranslate()
  return {
    title: { default: 'Holdfast', template: '%s · Holdfast' },
    description: t('common.description'),
    icons: { icon: '/icon.svg' },
    manifest: '/manifest.webmanifest',
    robots: { index: false, follow: false },
  }
}

export const viewport: Viewport = {
  themeColor: [
    { media: '(prefers-color-scheme: light)', color: '#fbfaf6' },
    { media: '(prefers-color-scheme: dark)', color: '#15191b' },
  ],
}

export default async function RootLayout({ children }: { children: ReactNode }) {
  const { tag } = await getTranslate()
  const Language = LANGUAGES[tag] ?? English
  return (
    <html lang={tag}>
      <body>
        <Language>
          <SiteHeader />
          <main id="content" className="page" tabIndex={-1}>
            {children}
          </main>
          <SiteFooter />
        </Language>
      </body>
    </html>
  )
}

/** What has the messages of each language in the browser, by its tag. */
const LANGUAGES: Record<string, typeof English> = { 'en-GB': English, 'en-XA': Pseudo }

function SiteFooter() {
  const t = useTranslate()
  return (
    <footer className={`page ${styles.footer}`}>
      <p>{t('common.footer')}</p>
    </footer>
  )
}
