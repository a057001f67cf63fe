/** Ends the session of this browser. */
export function SignOut({ className }: { className?: string }) {
  return (
    <form method="post" action="/api/sign-out" className={className}>
      <button type="submit">Sign out</button>
    </form>
  )
}
