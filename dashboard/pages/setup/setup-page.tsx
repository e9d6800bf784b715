export function SetupPage() {
  return <main />
}
