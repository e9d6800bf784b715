import { words } from '../words/en.ts'

const { pages, nowhere: say } = words

/** An address that leads to no page, said so, with the pages that were probably meant. */
export const NowherePage = ({ address }: { address: string }) => (
  <main class="desk">
    <h1>{say.title}</h1>
    <p>
      {say.there} <bdi>{address}</bdi>. {say.help}
    </p>
    <p class="record-links">
      <a class="plain" href="#/history">
        {pages.history}
      </a>
      <a class="plain" href="#/bend">
        {pages.bend}
      </a>
    </p>
  </main>
)
