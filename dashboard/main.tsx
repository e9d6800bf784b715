import { render } from 'preact'
import { App } from './app.tsx'
import { api } from './live/api.ts'
import { stayAwake } from './live/awake.ts'
import { StationProvider } from './live/context.ts'
import { faceIsThere } from './live/face.ts'
import { followRoute } from './live/route.ts'
import { openSocket } from './live/socket.ts'
import { unlockSoundOnFirstTouch } from './live/sound.ts'
import { chooseBender } from './live/stations.ts'
import { makeStore } from './live/store.ts'
import { followTheme } from './live/theme.ts'

const sheet = document.getElementById('sheet')
if (!sheet) throw new Error('index.html has no element "sheet".')

followTheme()
followRoute()
unlockSoundOnFirstTouch()
stayAwake()
await chooseBender()
const store = makeStore()
const socket = openSocket(
  (message) => store.take(message, performance.now()),
  () => void api.station().catch(() => undefined),
)
await faceIsThere()
render(
  <StationProvider value={{ ...store, socket }}>
    <App />
  </StationProvider>,
  sheet,
)
