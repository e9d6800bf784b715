import { needsPairing } from './live/api.ts'
import { route } from './live/route.ts'
import { BendPage } from './pages/bend/bend-page.tsx'
import { ChainPage } from './pages/chain/chain-page.tsx'
import { HistoryPage } from './pages/history/history-page.tsx'
import { RecordPage } from './pages/history/record-page.tsx'
import { LazyBlocks } from './pages/lazy-blocks.tsx'
import { NotebookPage } from './pages/notebook/notebook-page.tsx'
import { PairPage } from './pages/pair/pair-page.tsx'
import { PeoplePage } from './pages/people/people-page.tsx'
import { SensorPage } from './pages/sensor/sensor-page.tsx'
import { SetupPage } from './pages/setup/setup-page.tsx'
import { SpringbackPage } from './pages/springback/springback-page.tsx'
import { TopLine } from './widgets/top-line.tsx'

function Page() {
  const here = route.value
  if (needsPairing.value) return <PairPage />
  if (here.page === 'sensor') return <SensorPage />
  if (here.page === 'setup') return <SetupPage />
  if (here.page === 'people') return <PeoplePage />
  if (here.page === 'chain') return <ChainPage />
  if (here.page === 'notebook') return <NotebookPage />
  if (here.page === 'blocks') return <LazyBlocks />
  if (here.page === 'history') return <HistoryPage />
  if (here.page === 'record') return <RecordPage key={here.bendId} bendId={here.bendId} />
  if (here.page === 'springback')
    return <SpringbackPage key={here.setupId} setupId={here.setupId} />
  return <BendPage />
}

export function App() {
  return (
    <>
      <TopLine />
      <Page />
    </>
  )
}
