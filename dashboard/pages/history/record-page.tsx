export function RecordPage(_: { bendId: number }) {
  return <main />
}
