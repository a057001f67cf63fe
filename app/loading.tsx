export default function Loading() {
  return <p role="status">Reading the samples …</p>
}
