export function HistoryPage() {
  return <main />
}
