import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'

/** Tells an administrator that mail stays in the outbox. `outbox` is its folder; null hides the notice. */
export function MailNotice({ outbox }: { outbox: string | null }) {
  const t = useTranslate()
  if (outbox === null) return null
  const code = (text: React.ReactNode) => <code>{text}</code>
  return <p>{rich(t, 'signIn.outbox', { outbox, file: code, variable: code })}</p>
}
