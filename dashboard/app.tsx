import { needsPairing } from './live/api.ts'
import { route } from './live/route.ts'
import { signInFrom } from './live/session.ts'
import { BendPage } from './pages/bend/bend-page.tsx'
import { HistoryPage } from './pages/history/history-page.tsx'
import { lazyPage } from './pages/lazy-page.tsx'
import { PairPage } from './pages/pair/pair-page.tsx'
import { SignInDialog } from './pages/people/sign-in-dialog.tsx'
import { SensorPage } from './pages/sensor/sensor-page.tsx'
import { SetupPage } from './pages/setup/setup-page.tsx'
import { BenderLine } from './widgets/bender-line.tsx'
import { FileFrame } from './widgets/file-link.tsx'
import { TopLine } from './widgets/top-line.tsx'

const ChainPage = lazyPage(() =>
  import('./pages/chain/chain-page.tsx').then((page) => page.ChainPage),
)
const SpringbackPage = lazyPage<{ setupId: number | null }>(() =>
  import('./pages/springback/springback-page.tsx').then((page) => page.SpringbackPage),
)
const BlocksPage = lazyPage(() =>
  import('./pages/blocks/blocks-page.tsx').then((page) => page.BlocksPage),
)
const NotebookPage = lazyPage(() =>
  import('./pages/notebook/notebook-page.tsx').then((page) => page.NotebookPage),
)
const PeoplePage = lazyPage(() =>
  import('./pages/people/people-page.tsx').then((page) => page.PeoplePage),
)
const ChartsPage = lazyPage<{ address: string }>(() =>
  import('./pages/charts/charts-page.tsx').then((page) => page.ChartsPage),
)
const NowherePage = lazyPage<{ address: string }>(() =>
  import('./pages/nowhere-page.tsx').then((page) => page.NowherePage),
)
const RecordPage = lazyPage<{ bendId: number }>(() =>
  import('./pages/history/record-page.tsx').then((page) => page.RecordPage),
)

function Page() {
  const here = route.value
  if (needsPairing.value) return <PairPage />
  if (here.page === 'sensor') return <SensorPage />
  if (here.page === 'setup') return <SetupPage />
  if (here.page === 'people') return <PeoplePage />
  if (here.page === 'chain') return <ChainPage />
  if (here.page === 'notebook') return <NotebookPage />
  if (here.page === 'blocks') return <BlocksPage />
  if (here.page === 'charts') return <ChartsPage address={here.address} />
  if (here.page === 'history') return <HistoryPage address={here.address} />
  if (here.page === 'record') return <RecordPage key={here.bendId} bendId={here.bendId} />
  if (here.page === 'springback')
    return <SpringbackPage key={here.setupId} setupId={here.setupId} />
  if (here.page === 'nowhere') return <NowherePage address={here.address} />
  return <BendPage />
}

export function App() {
  return (
    <>
      <TopLine />
      <BenderLine />
      <Page />
      <FileFrame />
      {signInFrom.value !== null && <SignInDialog />}
    </>
  )
}
