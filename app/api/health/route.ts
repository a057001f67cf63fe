/** Says that the server answers. It asks nothing of the database. */
export async function POST(request: Request): Promise<Response> {
  await request.text()
  return Response.json({ answers: true })
}

export async function GET(): Promise<Response> {
  return Response.json({ answers: true })
}
