/** Says to someone who is nothing in the programme yet why there is nothing to see, and who can change that. */
export function NoRole({ administrators }: { administrators: readonly { name: string; email: string }[] }) {
  return (
    <div role="status">
      <p className="prose">
        You are signed in, and no role in the programme has been given to you yet, so there is nothing here
        for you to see. Ask an administrator to say on the page People what you are: contact of a plant, at
        the desk of a laboratory, or reader.
      </p>
      {administrators.length > 0 && (
        <ul>
          {administrators.map(({ name, email }) => (
            <li key={email}>
              {name}, <a href={`mailto:${email}`}>{email}</a>
            </li>
          ))}
        </ul>
      )}
    </div>
  )
}
